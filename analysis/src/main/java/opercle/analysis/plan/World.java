// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import opercle.analysis.Band;

/** One way that everything uncertain may turn out together. */
enum World {
  /** The fish breathe little, settle fast, and the gear gives much. */
  EASY,
  /** As expected. */
  LIKELY,
  /** The fish breathe hard, settle slowly, and the gear gives little. */
  HARD;

  /** The end of a band of something that burdens the tank. */
  double burden(Band band) {
    return switch (this) {
      case EASY -> band.low();
      case LIKELY -> band.likely();
      case HARD -> band.high();
    };
  }

  /** The end of a band of something that helps the tank. */
  double help(Band band) {
    return switch (this) {
      case EASY -> band.high();
      case LIKELY -> band.likely();
      case HARD -> band.low();
    };
  }
}
