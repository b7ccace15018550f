// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import opercle.simulator.NightKind;

/**
 * Which nights are played. Two of five are quiet, for false alarms need the most nights; the rest
 * go round all other kinds in turn. More nights of the same seed begin with the same nights.
 *
 * @param nights in all
 * @param seed below {@link #FIRST_REPORTING_SEED} for development: the watch may have been fitted
 *     to what such nights show. What is reported uses others
 * @param changes to the instruments
 */
public record AssessmentPlan(int nights, long seed, Changes changes) {

  /** Seeds from here on are for reporting. */
  public static final long FIRST_REPORTING_SEED = 1000L;

  private static final int MOST_NIGHTS = 100_000;
  private static final long MOST_SEED = 1_000_000_000L;
  private static final int ROUND = 5;
  private static final int QUIET_IN_A_ROUND = 2;
  private static final List<NightKind> OTHERS =
      Arrays.stream(NightKind.values()).filter(k -> k != NightKind.QUIET).toList();

  public AssessmentPlan {
    if (nights < 1 || nights > MOST_NIGHTS) {
      throw new IllegalArgumentException(
          "nights must be 1 to %d but was %d".formatted(MOST_NIGHTS, nights));
    }
    if (seed < 0 || seed > MOST_SEED) {
      throw new IllegalArgumentException(
          "seed must be 0 to %d but was %d".formatted(MOST_SEED, seed));
    }
  }

  /**
   * A night to be played.
   *
   * @param kind what it is about
   * @param seed its own; no two nights of any assessment share kind and seed unless the assessments
   *     share theirs
   */
  record PlannedNight(NightKind kind, long seed) {}

  boolean isForDevelopment() {
    return seed < FIRST_REPORTING_SEED;
  }

  List<PlannedNight> plannedNights() {
    List<PlannedNight> planned = new ArrayList<>(nights);
    int others = 0;
    for (int i = 0; i < nights; i++) {
      boolean quiet = i % ROUND < QUIET_IN_A_ROUND;
      NightKind kind = quiet ? NightKind.QUIET : OTHERS.get(others++ % OTHERS.size());
      planned.add(new PlannedNight(kind, seed * MOST_NIGHTS + i));
    }
    return planned;
  }
}
