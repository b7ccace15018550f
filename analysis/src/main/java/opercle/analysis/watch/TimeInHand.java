// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.OptionalDouble;
import opercle.analysis.Band;

/** How long until the critical floor. */
public sealed interface TimeInHand {

  /**
   * The floor will be reached.
   *
   * @param minutes from now; zero when oxygen is at or below the floor already
   */
  record Minutes(Band minutes) implements TimeInHand {}

  /** The floor is not reached: oxygen is steady, rising, or settles above it. */
  record Holding() implements TimeInHand {}

  /**
   * Nothing can be said.
   *
   * @param why in a few words, for the screen
   */
  record Unknown(String why) implements TimeInHand {}

  /** The likely minutes, where the floor will be reached; empty otherwise. */
  default OptionalDouble likelyMinutes() {
    return this instanceof Minutes m
        ? OptionalDouble.of(m.minutes().likely())
        : OptionalDouble.empty();
  }
}
