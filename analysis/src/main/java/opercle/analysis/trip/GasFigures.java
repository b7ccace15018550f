// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank;
import opercle.analysis.gas.Cylinder;
import opercle.ingest.reading.Quantity;

/**
 * Gas that a trip used, and what is left.
 *
 * @param usedLitres by the meter, or else by the gauge, L at 15 °C; empty where neither told
 * @param byMeter whether the meter said so
 * @param unknown time of which the meter said nothing; nothing of it is counted as used
 * @param barAtStart the cylinder's gauge at loading, bar
 * @param barAtEnd the gauge at the end: as it was read, or reckoned from the gas used
 * @param barAtEndIsReckoned whether it was reckoned
 * @param plannedLitres what the plan gave for the whole trip, L
 */
public record GasFigures(
    OptionalDouble usedLitres,
    boolean byMeter,
    Duration unknown,
    OptionalDouble barAtStart,
    OptionalDouble barAtEnd,
    boolean barAtEndIsReckoned,
    Optional<Band> plannedLitres) {

  /** What a cylinder in the open is reckoned to stand at, °C, as in a plan. */
  private static final double CYLINDER_C = 15.0;

  /** A gauge that rises by more was put on another cylinder; by less, the sun was on it (ours). */
  private static final double CHANGED_BAR = 20.0;

  /** A meter that said nothing for longer leaves the cylinder's end unknown (ours). */
  private static final Duration SHORT = Duration.ofMinutes(1);

  static GasFigures of(TripLog log, TripTrace trace) {
    Trip trip = log.trip();
    List<Samples> meters = Samples.of(trace, Quantity.GAS_FLOW);
    List<Samples> gauges = Samples.of(trace, Quantity.CYLINDER_PRESSURE);
    OptionalDouble start = first(trip.cylinderBar(), gauges, true);
    OptionalDouble end =
        first(
            log.unloaded().map(u -> u.cylinderBar()).orElse(OptionalDouble.empty()), gauges, false);
    OptionalDouble used = OptionalDouble.empty();
    Duration unknown = Duration.ZERO;
    if (!meters.isEmpty()) {
      Samples meter = meters.get(0);
      used = OptionalDouble.of(Math.max(0.0, meter.sumOverMinutes()));
      unknown =
          meter.unknown().stream()
              .map(Samples.Unknown::length)
              .reduce(Duration.ZERO, Duration::plus);
    }
    boolean byMeter = used.isPresent();
    Optional<Tank.Cylinder> cylinder = trip.tank().supply().cylinder();
    boolean reckoned = false;
    if (cylinder.isPresent() && start.isPresent()) {
      Cylinder bottle = new Cylinder(cylinder.get().waterLitres());
      try {
        if (used.isEmpty() && end.isPresent()) {
          used = byGauge(bottle, start.getAsDouble(), end.getAsDouble(), gauges);
        } else if (end.isEmpty()
            && used.isPresent()
            && unknown.compareTo(SHORT) <= 0) { // else more was used than the meter says
          end =
              OptionalDouble.of(
                  bottle.gaugeAfterBar(start.getAsDouble(), CYLINDER_C, used.getAsDouble()));
          reckoned = true;
        }
      } catch (IllegalArgumentException beyondTheFormula) {
        // A gauge or meter that said what no cylinder can hold: the rest of the review stands.
      }
    }
    return new GasFigures(
        used, byMeter, unknown, start, end, reckoned, trip.plan().map(TripPlan::gasLitres));
  }

  /**
   * By the falls of the gauge. Where it rose a cylinder was changed, and each counts by itself;
   * without a gauge that spoke between, a rise says that nothing is known.
   */
  private static OptionalDouble byGauge(
      Cylinder bottle, double startBar, double endBar, List<Samples> gauges) {
    double litres = 0.0;
    double full = startBar;
    double lowest = startBar;
    if (!gauges.isEmpty()) {
      Samples gauge = gauges.get(0);
      for (int i = 0; i < gauge.size(); i++) {
        double bar = Math.max(0.0, gauge.value(i));
        if (bar > lowest + CHANGED_BAR) {
          litres += bottle.usableLitres(full, CYLINDER_C, lowest);
          full = bar;
          lowest = bar;
        }
        lowest = Math.min(lowest, bar);
      }
    }
    return endBar > lowest + CHANGED_BAR
        ? OptionalDouble.empty()
        : OptionalDouble.of(litres + bottle.usableLitres(full, CYLINDER_C, Math.min(full, endBar)));
  }

  /** What a person wrote down; else the gauge's first or last word. */
  private static OptionalDouble first(OptionalDouble said, List<Samples> gauges, boolean atStart) {
    if (said.isPresent() || gauges.isEmpty()) {
      return said;
    }
    Samples gauge = gauges.get(0);
    return OptionalDouble.of(Math.max(0.0, gauge.value(atStart ? 0 : gauge.size() - 1)));
  }
}
