// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;

/**
 * The moment at which oxygen began to fall, found afterwards in the trace.
 *
 * @param at when, to the second
 * @param tolerance to either side
 * @param slopeBeforeMgPerLPerHour how oxygen went before
 * @param slopeAfterMgPerLPerHour how it fell after
 * @param meterStopped when the gas meter first showed nearly nothing, from 5 min before on; empty
 *     where it did not, or there is none
 * @param toldAt when the watch first told of it, with an alarm of oxygen or gas; empty if never
 */
public record Failure(
    Instant at,
    Duration tolerance,
    double slopeBeforeMgPerLPerHour,
    double slopeAfterMgPerLPerHour,
    Optional<Instant> meterStopped,
    Optional<Instant> toldAt) {

  /** From the failure to the first alarm; not below nothing. */
  public Optional<Duration> toldAfter() {
    return toldAt.map(
        told -> {
          Duration after = Duration.between(at, told);
          return after.isNegative() ? Duration.ZERO : after;
        });
  }
}
