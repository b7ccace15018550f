// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.util.Locale;

/** What is compared: the watch, and the plain rules that it must be better than. */
enum Detector {
  /** The watch's alarms of high priority. */
  WATCH("watch"),
  /** Any oxygen probe below 6 mg/L. */
  BELOW_SIX("below 6"),
  /** Any oxygen probe 0.5 mg/L lower than five minutes ago. */
  FELL_HALF("-0.5/5 min"),
  /** The gas meter below half of the flow that the keeper set, in two of three samples. */
  METER_ONLY("meter");

  private final String title;

  Detector(String title) {
    this.title = title;
  }

  /** A short title for a column. */
  String title() {
    return title;
  }

  /** The key in JSON, for instance {@code below-six}. */
  String id() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
