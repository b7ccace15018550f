// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.farm.Tank;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLimits;
import opercle.analysis.trip.TripTank;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/** An hour and a half of a trailer tank in the yard, with the gas off for twenty minutes of it. */
final class GasOffNight {

  static final Instant FROM = FakeFarm.NIGHT;
  static final Instant UNTIL = FROM.plus(Duration.ofMinutes(90));

  /** 140 kg in 650 L that take 60 mg/kg/h. */
  private static final double FALL_MG_PER_L_PER_S = 60.0 * 140.0 / 650.0 / 3600.0;

  static final List<Reading> READINGS = readings();

  private GasOffNight() {}

  private static List<Reading> readings() {
    List<Reading> readings = new ArrayList<>();
    for (int s = 0; s <= 5400; s += 10) {
      boolean off = s >= 1200 && s <= 2400;
      double fallen = Math.max(0, Math.min(s, 2400) - 1200);
      Instant at = FROM.plusSeconds(s);
      readings.add(
          new Reading("t1", Quantity.OXYGEN, "1", at, 11.2 - FALL_MG_PER_L_PER_S * fallen));
      readings.add(new Reading("t1", Quantity.GAS_FLOW, "1", at, off ? 0.0 : 2.5));
      readings.add(new Reading("t1", Quantity.TEMPERATURE, "1", at, 10.0));
    }
    return readings;
  }

  static Loaded loaded() {
    Tank tank = FakeFarm.quiet().farm().tank("t1").orElseThrow();
    return new Loaded(
        "gas-off-in",
        FROM,
        "Maren",
        Optional.empty(),
        new Trip(
            "gas-off",
            Trip.Kind.NIGHT,
            TripTank.of(tank, 40.0),
            Optional.empty(),
            "",
            "",
            tank.loads(),
            OptionalDouble.empty(),
            TripLimits.of(tank),
            OptionalDouble.empty(),
            Optional.empty(),
            Optional.empty()));
  }

  static Unloaded over() {
    return new Unloaded(
        "gas-off-out", UNTIL, "Maren", Optional.empty(), List.of(), OptionalDouble.empty(), "");
  }
}
