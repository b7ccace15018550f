// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import java.util.Locale;

/** How fish in a tank look to somebody who looks in, worst last. */
public enum Fish {
  /** Low in the water and quiet. */
  LOW_AND_QUIET("low and quiet"),
  /** Restless, darting. */
  RESTLESS("restless"),
  /** At the surface, gasping. */
  GASPING("at the surface, gasping"),
  /** Lying over. */
  LYING_OVER("lying over");

  private final String words;

  Fish(String words) {
    this.words = words;
  }

  /** As people say it. */
  public String words() {
    return words;
  }

  /** The word in files. */
  public String id() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** Whether somebody must do something about it. */
  public boolean isBad() {
    return this == GASPING || this == LYING_OVER;
  }
}
