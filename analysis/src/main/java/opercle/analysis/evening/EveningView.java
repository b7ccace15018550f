// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import opercle.analysis.farm.Farm;
import opercle.analysis.watch.TankState;

/**
 * What the evening check goes by, all as of one instant.
 *
 * @param farm the farm as it is described
 * @param now the farm's time
 * @param morning when somebody looks again; after {@code now}
 * @param zone the farm's
 * @param states the newest state of every tank that has one
 * @param troubles of the monitor itself
 * @param reach who would be called
 */
public record EveningView(
    Farm farm,
    Instant now,
    Instant morning,
    ZoneId zone,
    List<TankState> states,
    List<Trouble> troubles,
    Reach reach) {

  public EveningView {
    states = List.copyOf(states);
    troubles = List.copyOf(troubles);
    if (!morning.isAfter(now)) {
      throw new IllegalArgumentException(
          "the morning must come after the evening but was %s, now %s".formatted(morning, now));
    }
  }

  /**
   * Something is wrong with the monitor.
   *
   * @param words what, a sentence
   * @param action the one thing to do, a sentence
   */
  public record Trouble(String words, String action) {}

  /** For how long nobody looks, minutes. */
  double minutesUntilMorning() {
    return (morning.toEpochMilli() - now.toEpochMilli()) / 60_000.0;
  }
}
