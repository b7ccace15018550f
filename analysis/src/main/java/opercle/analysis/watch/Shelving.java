// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Duration;
import java.time.Instant;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmBook;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEntry;
import opercle.analysis.alarm.AlarmRule;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.farm.Tank;

/** What may be put aside, seen from the tank: nothing that leaves the fish unwatched. */
final class Shelving {

  /** A tank without fish may be out of service for a season's work, one with fish for a day. */
  private static final Duration LONGEST_OUT_EMPTY = Duration.ofDays(90);

  private static final Duration LONGEST_OUT_STOCKED = Duration.ofHours(24);

  private static final int LONGEST_REASON = 200;

  private Shelving() {}

  /**
   * Refuses a shelf that the fish may not outlive.
   *
   * @param length for how long it is asked for
   * @param now the tank as it is
   * @throws RefusedActException with the reason in words
   */
  static void check(Tank tank, AlarmBook book, AlarmCause cause, Duration length, TankNow now) {
    AlarmEntry entry = book.entry(cause).filter(AlarmEntry::isPresent).orElse(null);
    if (entry == null || !tank.isStocked()) {
      return;
    }
    boolean probe = cause == AlarmCause.PROBE_SILENT || cause == AlarmCause.PROBE_SUSPECT;
    if (probe && !isWatched(now)) {
      throw new RefusedActException(
          "Nothing else watches the oxygen of %s, so this stays. Look at the fish, then see to the probe."
              .formatted(tank.name()));
    }
    if (AlarmRule.of(cause).isConsequence()) {
      checkTime(tank, length, entry.finding().timeInHandMinutes(), now);
    }
  }

  private static void checkTime(Tank tank, Duration length, OptionalDouble inHand, TankNow now) {
    double needed = length.toMinutes() + Urgency.responseMinutes(tank);
    if (inHand.isPresent() && inHand.getAsDouble() < needed) {
      throw new RefusedActException(
          ("%s has about %s in hand: too little for %d minutes of quiet and %d to get there."
                  + " Say that you have it instead, and go.")
              .formatted(
                  tank.name(),
                  Wording.minutes(inHand.getAsDouble()),
                  length.toMinutes(),
                  Math.round(Urgency.responseMinutes(tank))));
    }
    if (inHand.isEmpty() && now.supplyLost() instanceof TimeInHand.Unknown unknown) {
      throw new RefusedActException(
          "The time in hand of %s is not known (%s), so this stays."
              .formatted(tank.name(), unknown.why()));
    }
  }

  private static boolean isWatched(TankNow now) {
    for (OxygenProbe p : now.probes().oxygen()) {
      if (p.doubt() == ProbeDoubt.NONE && !p.silent && now.probes().counts(p, now.now)) {
        return true;
      }
    }
    return false;
  }

  /**
   * Refuses a time out of service that has no reason, or no end in sight.
   *
   * @throws RefusedActException with the reason in words
   */
  static void check(Tank tank, OutOfService order, Instant now) {
    String reason = order.reason();
    if (reason.isBlank()
        || reason.length() > LONGEST_REASON
        || reason.codePoints().anyMatch(Character::isISOControl)) {
      throw new RefusedActException(
          "Out of service needs a reason that others can read, in at most %d letters on one line."
              .formatted(LONGEST_REASON));
    }
    Duration longest = tank.isStocked() ? LONGEST_OUT_STOCKED : LONGEST_OUT_EMPTY;
    Duration asked = Duration.between(now, order.until());
    if (asked.compareTo(Duration.ZERO) <= 0 || asked.compareTo(longest) > 0) {
      throw new RefusedActException(
          "Out of service needs an end within %d hours%s."
              .formatted(
                  longest.toHours(),
                  tank.isStocked() ? ", for there are fish in " + tank.name() : ""));
    }
  }
}
