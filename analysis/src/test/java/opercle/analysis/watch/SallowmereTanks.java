// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/** Tanks of the made-up farm Sallowmere, and readings of them, for the tests of the watch. */
final class SallowmereTanks {

  static final Instant T0 = Instant.parse("2026-03-14T02:00:00Z");

  private SallowmereTanks() {}

  /** A holding tank on a blower: 55 kg of tench in 1500 L. */
  static Tank holding() {
    return new Tank(
        "h1",
        "Holding 1",
        Tank.Kind.HOLDING,
        1500.0,
        0.8,
        new Tank.Supply(
            Tank.Gas.AIR, Tank.Source.BLOWER, Tank.Diffuser.POROUS_HOSE, 45.0, Optional.empty()),
        List.of(load(Species.TENCH, 55.0, 70)),
        Optional.empty());
  }

  /** A transport tank on a cylinder: 140 kg of carp in 650 L. */
  static Tank transport() {
    return new Tank(
        "t1",
        "Trailer tank",
        Tank.Kind.TRANSPORT,
        650.0,
        0.7,
        new Tank.Supply(
            Tank.Gas.OXYGEN,
            Tank.Source.CYLINDER,
            Tank.Diffuser.CERAMIC,
            2.5,
            Optional.of(new Tank.Cylinder(20.0, 200.0))),
        List.of(load(Species.COMMON_CARP, 140.0, 60)),
        Optional.of(new Tank.Floors(6.0, 3.0)));
  }

  /** The holding tank with 20 kg of one species. */
  static Tank stockedWith(Species species) {
    Tank tank = holding();
    return new Tank(
        tank.id(),
        tank.name(),
        tank.kind(),
        tank.waterLitres(),
        tank.depthM(),
        tank.supply(),
        List.of(load(species, 20.0, 40)),
        tank.floors());
  }

  static Tank emptied(Tank tank) {
    return new Tank(
        tank.id(),
        tank.name(),
        tank.kind(),
        tank.waterLitres(),
        tank.depthM(),
        tank.supply(),
        List.of(),
        tank.floors());
  }

  static Tank.Load load(Species species, double kg, int count) {
    return new Tank.Load(species, kg, OptionalInt.of(count), Optional.empty());
  }

  static Farm farm(Tank... tanks) {
    return new Farm("Sallowmere", 40.0, List.of(tanks));
  }

  static Reading reading(String tank, Quantity quantity, double second, double value) {
    return new Reading(tank, quantity, Reading.DEFAULT_PROBE, at(second), value);
  }

  static Instant at(double second) {
    return T0.plusNanos(Math.round(second * 1e9));
  }
}
