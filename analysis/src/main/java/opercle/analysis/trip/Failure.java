// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * The moment at which oxygen began to fall, found afterwards in the trace.
 *
 * @param at when, to the second
 * @param tolerance to either side
 * @param slopeBeforeMgPerLPerHour how oxygen went before
 * @param slopeAfterMgPerLPerHour how it fell after
 * @param meterStopped when the gas meter first showed nearly nothing, from 5 min before on; empty
 *     where it did not, or there is none
 * @param meterBefore what the gas meter showed on average in the ten minutes before, L/min
 * @param meterAfter the same in the five minutes that begin a minute after it
 * @param toldAt when the watch first told of it, with an alarm of oxygen or gas; empty if never
 */
public record Failure(
    Instant at,
    Duration tolerance,
    double slopeBeforeMgPerLPerHour,
    double slopeAfterMgPerLPerHour,
    Optional<Instant> meterStopped,
    OptionalDouble meterBefore,
    OptionalDouble meterAfter,
    Optional<Instant> toldAt) {

  private static final double MUCH_MORE = 1.15;
  private static final double MUCH_LESS = 0.85;

  /** Whether the meter showed clearly more gas after it: gas that escapes behind the meter. */
  public boolean meterRose() {
    return meterBefore.isPresent()
        && meterAfter.isPresent()
        && meterAfter.getAsDouble() > MUCH_MORE * meterBefore.getAsDouble();
  }

  /**
   * Whether less gas came through the meter from then on: somebody turned it down, or it choked.
   */
  public boolean meterFell() {
    return meterStopped.isEmpty()
        && meterBefore.isPresent()
        && meterAfter.isPresent()
        && meterAfter.getAsDouble() < MUCH_LESS * meterBefore.getAsDouble();
  }

  /** From the failure to the first alarm; not below nothing. */
  public Optional<Duration> toldAfter() {
    return toldAt.map(
        told -> {
          Duration after = Duration.between(at, told);
          return after.isNegative() ? Duration.ZERO : after;
        });
  }
}
