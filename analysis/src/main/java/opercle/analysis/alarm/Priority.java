// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.util.Locale;

/** Alarm priority, the most urgent first. */
public enum Priority {
  HIGH,
  MEDIUM,
  LOW;

  /** The word in events and pages. */
  public String id() {
    return name().toLowerCase(Locale.ROOT);
  }
}
