// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.reading;

import java.time.Instant;
import java.util.Objects;

/**
 * One value of one quantity from one probe in one tank at one instant.
 *
 * @param tank the tank's id, as in the topic and the farm description
 * @param quantity what was measured
 * @param probe which of the tank's probes for this quantity; {@link #DEFAULT_PROBE} where there is
 *     only one
 * @param time when it was measured, by the probe's clock if it sent one, else when it arrived
 * @param value in the quantity's canonical unit; finite
 */
public record Reading(String tank, Quantity quantity, String probe, Instant time, double value) {

  /** The probe's name where a topic or a trace names none. */
  public static final String DEFAULT_PROBE = "1";

  public Reading {
    Objects.requireNonNull(tank, "tank");
    Objects.requireNonNull(quantity, "quantity");
    Objects.requireNonNull(probe, "probe");
    Objects.requireNonNull(time, "time");
    if (!Double.isFinite(value)) {
      throw new IllegalArgumentException(
          "tank %s, %s: value must be a finite number of %s but was %s"
              .formatted(tank, quantity.id(), quantity.unit(), value));
    }
  }

  /** The series that this reading belongs to. */
  public Series series() {
    return new Series(tank, quantity, probe);
  }
}
