// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * When no gas came, as far as that is sure; and why it is not, where it is not.
 *
 * <p>A gas meter is believed only while it is alive: it showed gas at another time of the same
 * trip, and oxygen took another course with it. A dead one that shows nothing would make the fish
 * look as if they breathed next to nothing.
 */
final class GasOff {

  /** Below this share of the flow that was set, the meter says that no gas comes. */
  private static final double OFF_SHARE = 0.05;

  /** Gas that is on its way, and a probe that answers late (common practice). */
  private static final Duration SETTLES = Duration.ofMinutes(1);

  /**
   * Whoever unloads shuts the gas, nets the fish, and says afterwards that they are out: from so
   * long before that on, nobody knows how many are still in (ours).
   */
  static final Duration NETTED = Duration.ofMinutes(30);

  /** How far round its ends oxygen is looked at for the bend that goes with a living meter. */
  private static final Duration AROUND = Duration.ofMinutes(10);

  private static final int INTERVALS_AROUND = 8;
  private static final int LEAST_READINGS = 5;

  /** Ours: gas that holds a load carries far more than a fifth of what the fish take. */
  private static final double LEAST_BEND = 0.2;

  private static final double TIMES_THE_ERROR = 3.0;

  /** No gas from one instant to another. */
  record Span(Instant from, Instant to) {}

  private final Trip trip;
  private final TripTrace trace;
  private final List<StopCheck> checks;
  private final Samples oxygen;
  private final List<Samples> meters;
  private final WhyNot whyNot;
  private final double most;
  private final Duration around;

  /**
   * @param checks on the trip or at the tank meanwhile
   * @param oxygen the probe to go by
   * @param whyNot is told what is not sure
   */
  GasOff(Trip trip, TripTrace trace, List<StopCheck> checks, Samples oxygen, WhyNot whyNot) {
    this.trip = trip;
    this.trace = trace;
    this.checks = checks;
    this.oxygen = oxygen;
    this.meters = Samples.of(trace, Quantity.GAS_FLOW);
    this.whyNot = whyNot;
    this.most = OFF_SHARE * trip.tank().supply().flowLPerMin();
    Duration some = oxygen.usual().multipliedBy(INTERVALS_AROUND);
    this.around = some.compareTo(AROUND) > 0 ? some : AROUND;
  }

  /** The spans that are sure, in order. */
  List<Span> spans() {
    if (meters.isEmpty()) {
      return byTheRecord();
    }
    List<Span> spans = new ArrayList<>();
    Samples meter = meters.get(0);
    if (isGasSet() && meter.where(v -> v > most).isZero()) {
      whyNot.say("The gas meter showed no gas from first to last, so it may be dead.");
      return spans;
    }
    @Nullable Instant off = null;
    for (int i = 0; i <= meter.size(); i++) {
      boolean spoke = i > 0 && i < meter.size() && meter.isWithoutGap(i - 1, i + 1);
      boolean isOff = i < meter.size() && meter.value(i) <= most && (off == null || spoke);
      if (isOff && off == null) {
        off = i == 0 ? meter.time(0) : meter.time(i).plus(SETTLES);
      } else if (!isOff && off != null) {
        if (i < meter.size() && !spoke) {
          whyNot.say(meter.time(i - 1), "the gas meter fell silent.");
        }
        add(spans, off, meter.time(i - 1), spoke);
        off = null;
      }
    }
    return spans;
  }

  private boolean isGasSet() {
    return trip.tank().supply().flowLPerMin() > 0.0;
  }

  /** Without a meter: the tank is written down as one without gas, and nobody says otherwise. */
  private List<Span> byTheRecord() {
    List<Span> spans = new ArrayList<>();
    if (isGasSet()) {
      return spans;
    }
    Optional<StopCheck> gas = checks.stream().filter(this::saysGas).findFirst();
    if (gas.isPresent()) {
      whyNot.say(
          gas.get().time(),
          "a check says that gas was on, and the tank is written down without any.");
    } else if (trace.events().stream().anyMatch(e -> e.kind() == TankEvent.Kind.GAS_CHANGED)) {
      whyNot.say("The gas was changed meanwhile, and no meter says to what.");
    } else {
      add(spans, trace.from(), trace.to(), false);
    }
    return spans;
  }

  private boolean saysGas(StopCheck check) {
    return check.gasLPerMin().orElse(0.0) > most;
  }

  /**
   * @param untilGas whether gas came again at its end
   */
  private void add(List<Span> spans, Instant from, Instant until, boolean untilGas) {
    Instant to = until;
    Instant netted = trace.to().minus(NETTED);
    if (trip.kind() == Trip.Kind.ROAD && !untilGas && until.isAfter(netted)) {
      to = netted;
      whyNot.say(
          ("The gas stayed off to the end. Fish may have been netted out in the last %d min, so"
                  + " those do not count.")
              .formatted(NETTED.toMinutes()));
    }
    if (to.isAfter(from) && isSure(from, to, untilGas)) {
      spans.add(new Span(from, to));
    }
  }

  private boolean isSure(Instant from, Instant to, boolean untilGas) {
    for (Samples other : meters.stream().skip(1).toList()) {
      if (!other.saysAllTheWhile(from, to, v -> v <= most)) {
        whyNot.say(from, "one gas meter showed no gas; another did, or was silent.");
        return false;
      }
    }
    for (StopCheck check : checks) {
      if (saysGas(check) && !check.time().isBefore(from) && !check.time().isAfter(to)) {
        whyNot.say(check.time(), "a check says that gas was on, and the meter showed none.");
        return false;
      }
    }
    if (isGasSet() && !oxygenGoesWithIt(from, to, untilGas)) {
      whyNot.say(
          from,
          "the gas meter showed no gas, but oxygen did not change with it. The meter may have been"
              + " dead, so this time does not count.");
      return false;
    }
    return true;
  }

  /**
   * Whether oxygen bends down where gas stopped and up where it came again, as far as it is known.
   */
  private boolean oxygenGoesWithIt(Instant from, Instant to, boolean untilGas) {
    Instant stopped = from.minus(SETTLES);
    Instant again = to.plus(SETTLES);
    Optional<Boolean> down =
        bends(
            line(from, to.isBefore(from.plus(around)) ? to : from.plus(around)),
            line(stopped.minus(around), stopped));
    Optional<Boolean> up =
        untilGas
            ? bends(
                line(from.isAfter(to.minus(around)) ? from : to.minus(around), to),
                line(again, again.plus(around)))
            : Optional.empty();
    return (down.isPresent() || up.isPresent()) && down.orElse(true) && up.orElse(true);
  }

  private Optional<StraightLine> line(Instant from, Instant to) {
    int first = oxygen.firstAt(from);
    int end = oxygen.firstAt(to);
    return end - first < LEAST_READINGS
        ? Optional.empty()
        : Optional.of(StraightLine.through(oxygen.seconds(first, end), oxygen.values(first, end)));
  }

  private static Optional<Boolean> bends(Optional<StraightLine> off, Optional<StraightLine> on) {
    if (off.isEmpty() || on.isEmpty()) {
      return Optional.empty();
    }
    double bend = on.get().slope() - off.get().slope();
    double error = Math.hypot(on.get().slopeError(), off.get().slopeError());
    return Optional.of(
        bend >= Math.max(LEAST_BEND * Math.abs(off.get().slope()), TIMES_THE_ERROR * error));
  }
}
