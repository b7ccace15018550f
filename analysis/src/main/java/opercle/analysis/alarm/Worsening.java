// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;

/**
 * When a standing alarm is worth telling again. The figures are common practice; each keeps an
 * alarm that wavers from chattering.
 */
final class Worsening {

  /** Less time is told soon; other words for the same fall are not worth a second look so soon. */
  private static final Duration CHANGES_AT_MOST_EVERY = Duration.ofMinutes(1);

  private static final Duration NEW_GIST_AT_MOST_EVERY = Duration.ofMinutes(5);

  /** Which tanks one blower has taken with it shows within seconds, and is worth knowing soon. */
  private static final Duration NEW_TANKS_AT_MOST_EVERY = Duration.ofSeconds(10);

  static final Duration LOWER_PRIORITY_AFTER = Duration.ofMinutes(5);

  /** Where no time in hand has been told, one of less than half of this is news, minutes. */
  private static final double LONG_MINUTES = 120.0;

  /** Whoever has it is given a third of the time in hand to make it better, within these bounds. */
  private static final double SHARE_GIVEN = 1.0 / 3.0;

  private static final double LEAST_GIVEN_MINUTES = 2.0;
  private static final double MOST_GIVEN_MINUTES = 30.0;
  private static final double GIVEN_IF_UNKNOWN_MINUTES = 15.0;

  private Worsening() {}

  /** Whether it is news, though no more urgent. */
  static boolean isNews(AlarmEntry old, Finding now, List<String> tanks, Instant at) {
    if (old.lastTold().isAfter(at)) {
      return differs(old, now, tanks); // the clock was put back
    }
    if (!areSame(tanks, old.tanks()) && elapsed(NEW_TANKS_AT_MOST_EVERY, old.lastTold(), at)) {
      return true;
    }
    return elapsed(CHANGES_AT_MOST_EVERY, old.lastTold(), at)
        && (now.priority() != old.finding().priority()
            || halved(old.toldMinutes(), now.timeInHandMinutes())
            || (!now.gist().equals(old.finding().gist())
                && elapsed(NEW_GIST_AT_MOST_EVERY, old.lastTold(), at)));
  }

  private static boolean differs(AlarmEntry old, Finding now, List<String> tanks) {
    return now.priority() != old.finding().priority()
        || !areSame(tanks, old.tanks())
        || halved(old.toldMinutes(), now.timeInHandMinutes());
  }

  /**
   * What has become of an alarm that somebody has.
   *
   * @return whether it must call again: it has got worse, or not better in the time given
   */
  static boolean callsAgain(AlarmEntry held, Finding now, Instant at) {
    Instant from = held.checkedSince().orElse(at);
    return (elapsed(CHANGES_AT_MOST_EVERY, from, at)
            && halved(held.checkedMinutes(), now.timeInHandMinutes()))
        || staysAway(held, now)
        || (now.priority() == Priority.HIGH
            && elapsed(given(held.checkedMinutes()), from, at)
            && !isBetter(held.checkedMinutes(), now.timeInHandMinutes()));
  }

  /** Whoever has a line that comes and goes does not know yet that it no longer comes. */
  private static boolean staysAway(AlarmEntry held, Finding now) {
    return now.gist().equals(Finding.STAYS_AWAY)
        && !held.finding().gist().equals(Finding.STAYS_AWAY);
  }

  /** Whether the time given is over; asked of one that need not call again, it begins anew. */
  static boolean isGivenAnew(AlarmEntry held, Instant at) {
    Instant from = held.checkedSince().orElse(at);
    return from.isAfter(at) || elapsed(given(held.checkedMinutes()), from, at);
  }

  private static Duration given(OptionalDouble minutes) {
    double given =
        minutes.isPresent()
            ? Math.max(
                LEAST_GIVEN_MINUTES,
                Math.min(MOST_GIVEN_MINUTES, SHARE_GIVEN * minutes.getAsDouble()))
            : GIVEN_IF_UNKNOWN_MINUTES;
    return Duration.ofMillis(Math.round(60_000.0 * given));
  }

  private static boolean isBetter(OptionalDouble then, OptionalDouble now) {
    return then.isPresent() && (now.isEmpty() || now.getAsDouble() > then.getAsDouble());
  }

  /** Where no time was known, the first that is short is news; nought is not half of nought. */
  private static boolean halved(OptionalDouble told, OptionalDouble now) {
    double before = told.orElse(LONG_MINUTES);
    return now.isPresent() && now.getAsDouble() < before && now.getAsDouble() <= before / 2.0;
  }

  /** Which of them has the least time changes back and forth and is told with their minutes. */
  static boolean areSame(List<String> tanks, List<String> others) {
    return Set.copyOf(tanks).equals(Set.copyOf(others));
  }

  static boolean elapsed(Duration delay, Instant from, Instant to) {
    return Duration.between(from, to).compareTo(delay) >= 0;
  }
}
