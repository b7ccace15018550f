// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Instant;

/**
 * The probe held against a hand meter at a stop.
 *
 * @param at when
 * @param quantity what was measured, {@code oxygen} or {@code temperature}
 * @param handMeter what the hand meter showed
 * @param probe what the probe said within two minutes
 * @param unit of both
 */
public record MeterCheck(Instant at, String quantity, double handMeter, double probe, String unit) {

  /** By how much the probe reads high; negative where it reads low. */
  public double probeReadsHighBy() {
    return probe - handMeter;
  }
}
