// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import static opercle.analysis.trip.MadeTrip.START;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.TankAccount.Step;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripEntry.Withdrawn;

/** A tank, its record, a trip, and whoever writes; fish of 1 kg each. */
final class Yard {
  private static final Species CARP = Species.COMMON_CARP;

  private final List<Tank.Load> atLoading;
  final List<Step> steps = new ArrayList<>();
  private final Set<String> settled = new HashSet<>();
  TripLog log;
  private int ids;

  /** What is really in the tank: of the trip, and others. */
  double aboardKg;

  double othersKg;

  Yard(double trulyKg, double tankKg, double tripKg) {
    this(trulyKg, load(tankKg), load(tripKg));
  }

  Yard(double trulyKg, List<Tank.Load> tank, List<Tank.Load> trip) {
    atLoading = tank;
    aboardKg = trulyKg;
    log = TripLog.of(MadeTrip.loaded(MadeTrip.trailer("trip-1").withLoad(trip)));
  }

  static List<Tank.Load> load(double kg) {
    return kg > 0.0
        ? List.of(new Tank.Load(CARP, kg, OptionalInt.of((int) kg), Optional.empty()))
        : List.of();
  }

  TankAccount account(TripLog of) {
    return new TankAccount(of, atLoading, steps);
  }

  List<Tank.Load> record() {
    return account(log).now();
  }

  double recordKg() {
    return Stocking.kg(record(), CARP);
  }

  /** As the farm's versions are made: only where something is different. */
  void step(List<Tank.Load> after, Optional<String> entry) {
    if (!after.equals(record())) {
      steps.add(new Step(record(), after, entry));
    }
  }

  void byHand(double kg) {
    if (recordKg() + kg >= 0.0) {
      step(load(recordKg() + kg), Optional.empty());
    }
  }

  /** More fish, of another load, really and in the record. */
  void others(double kg) {
    othersKg += kg;
    byHand(kg);
  }

  /**
   * Fish of the trip are taken out on the way, and somebody writes it down at the tank; not more
   * than its record has of them.
   */
  void takeOut(double kg) {
    double out = Math.min(kg, Math.min(aboardKg, recordKg() - othersKg));
    if (out > 0.0) {
      aboardKg -= out;
      byHand(-out);
    }
  }

  /** All that is in goes out by hand, whosever it is, and the record says so. */
  void empty() {
    aboardKg = 0.0;
    othersKg = 0.0;
    byHand(-recordKg());
  }

  void loadingIs(double kg) {
    loadingIs(load(kg));
  }

  void loadingIs(List<Tank.Load> loads) {
    Loaded before = log.loaded();
    TripLog put =
        log.with(
            new Loaded(
                "in-" + ++ids,
                START,
                "Tove",
                Optional.of(before.id()),
                before.trip().withLoad(loads)));
    boolean along = log.isUnderWay();
    List<Tank.Load> after = along ? account(put).along(before) : record();
    log = put;
    if (along) {
      step(after, Optional.of(log.loaded().id()));
    } else {
      accept(log.loaded().id());
    }
  }

  void unload() {
    List<Tank.Load> after = account(log).out();
    String id = "out-" + ++ids;
    log =
        log.with(
            new Unloaded(
                id,
                START.plusSeconds(3600),
                "Maren",
                Optional.empty(),
                List.of(new Loss(CARP, OptionalInt.of(1), OptionalDouble.empty())),
                OptionalDouble.empty(),
                ""));
    steps.add(new Step(record(), after, Optional.of(id))); // here it is one, whatever it took
    aboardKg = 0.0;
  }

  void withdraw() {
    String id = "w-" + ++ids;
    log = log.with(new Withdrawn(id, START.plusSeconds(7200), "Maren", "another tank"));
    accept(id);
  }

  void accept(String entry) {
    if (settled.add(entry)) {
      step(account(log).settled(), Optional.of(entry));
    }
  }
}
