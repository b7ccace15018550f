// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.OptionalDouble;
import opercle.ingest.reading.Quantity;

/**
 * The salt of a trip's water, which lowers what it can hold of oxygen: by a salinity probe where
 * one speaks, else as it was known of the tank at the start.
 */
final class SaltInWater {

  /** Salt changes slowly: a reading stands for so long around it (ours). */
  private static final Duration REACH = Duration.ofHours(1);

  private final List<Samples> probes;
  private final double known;

  SaltInWater(Trip trip, TripTrace trace) {
    this.probes = Samples.of(trace, Quantity.SALINITY);
    this.known = trip.tank().saltGPerKg();
  }

  /** At an instant, g/kg. */
  double at(Instant time) {
    for (Samples probe : probes) {
      OptionalDouble read = probe.near(time, REACH);
      if (read.isPresent()) {
        return within(read.getAsDouble());
      }
    }
    return known;
  }

  /** On the mean of a stretch, g/kg. */
  double mean(Instant from, Instant to) {
    for (Samples probe : probes) {
      OptionalDouble read = probe.mean(from, to);
      if (read.isPresent()) {
        return within(read.getAsDouble());
      }
    }
    return known;
  }

  private static double within(double read) {
    return Math.max(TripTank.SALT.low(), Math.min(TripTank.SALT.high(), read));
  }
}
