// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import opercle.analysis.book.RecordBook;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.HoldingEstimate;
import opercle.analysis.holding.HoldingEstimate.Seen;
import opercle.analysis.holding.HoldingNow;
import opercle.analysis.holding.TankWork;
import opercle.analysis.records.Records;
import opercle.analysis.watch.TankEvent;
import opercle.analysis.watch.TankState;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * What is known of a holding tank just now, put together from what was written down, what the watch
 * knows and what its probes read last. For any thread; may wait for a disk.
 */
final class HoldingSight {

  private static final Duration MEALS_LOOKED_BACK = Duration.ofDays(3);
  private static final Duration PROBE_COUNTS = Duration.ofHours(1);

  private final LiveFarm live;
  private final Supplier<Optional<RecordBook>> book;
  private final PastAlarms past;
  private final Traces traces;

  HoldingSight(LiveFarm live, Supplier<Optional<RecordBook>> book, PastAlarms past, Traces traces) {
    this.live = live;
    this.book = book;
    this.past = past;
    this.traces = traces;
  }

  /** What is written down; nothing while there is no farm book. */
  Records records() {
    return book.get().map(RecordBook::records).orElseGet(() -> Records.of(List.of()));
  }

  /** Empty where no fish are in it. */
  Optional<HoldingNow> estimate(Tank tank, Records records) {
    Instant now = live.now();
    TankWork work = TankWork.of(records, tank.id()).withMeals(meals(tank, now), tank.id());
    return HoldingEstimate.of(tank, work, seen(tank, now), now);
  }

  private List<Instant> meals(Tank tank, Instant now) {
    return past.events().get().stream()
        .flatMap(
            e -> e.between(tank.id(), now.minus(MEALS_LOOKED_BACK), now.plusSeconds(1)).stream())
        .filter(e -> e.kind() == TankEvent.Kind.FED)
        .map(TankEvent::time)
        .toList();
  }

  private Seen seen(Tank tank, Instant now) {
    Optional<TankState> state =
        live.states().stream().filter(s -> s.tank().equals(tank.id())).findFirst();
    return new Seen(
        state.map(TankState::temperatureC).orElse(OptionalDouble.empty()),
        probe(tank, Quantity.PH, now),
        probe(tank, Quantity.SALINITY, now),
        state.map(TankState::gasFlowLPerMin).orElse(OptionalDouble.empty()));
  }

  private OptionalDouble probe(Tank tank, Quantity quantity, Instant now) {
    return traces.series(tank.id()).stream()
        .filter(s -> s.quantity() == quantity)
        .map(s -> newest(s, now))
        .flatMap(Optional::stream)
        .max(Comparator.comparing(Reading::time))
        .map(r -> OptionalDouble.of(r.value()))
        .orElse(OptionalDouble.empty());
  }

  private Optional<Reading> newest(Series series, Instant now) {
    List<Reading> readings = traces.readings(series, now.minus(PROBE_COUNTS), now.plusSeconds(1));
    return readings.isEmpty() ? Optional.empty() : Optional.of(readings.get(readings.size() - 1));
  }

  /** Salt, g/kg; reckoned from what was written down also where no fish are in yet. */
  double salt(Optional<HoldingNow> now, Tank tank) {
    return saltNow(now, tank).band().likely();
  }

  /** The same with how it is known. */
  HoldingNow.Value saltNow(Optional<HoldingNow> now, Tank tank) {
    return now.map(HoldingNow::saltGPerKg)
        .orElseGet(
            () ->
                HoldingEstimate.saltGPerKg(
                    tank, TankWork.of(records(), tank.id()), seen(tank, live.now()), live.now()));
  }
}
