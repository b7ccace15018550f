// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.awaitility.Awaitility.await;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicReference;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.watch.TankEvent;
import opercle.analysis.watch.TankState;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

class WatchServiceTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);
  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  private static final Farm FARM =
      FarmReader.parse(
          "farm.yaml",
          """
          farm: Sallowmere
          tanks:
            - id: h1
              name: Holding 1
              kind: holding
              waterLitres: 1500
              supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
              load: { species: tench, kg: 55, count: 70 }
          """);

  private final AtomicReference<Instant> now = new AtomicReference<>(START);
  private final Told told = new Told();

  /** Everything that a listener was told. */
  private static class Told implements WatchListener {
    final List<AlarmEvent> events = new CopyOnWriteArrayList<>();
    final List<List<TankState>> states = new CopyOnWriteArrayList<>();
    final List<TankEvent> notes = new CopyOnWriteArrayList<>();
    final List<List<OutOfService>> outOfService = new CopyOnWriteArrayList<>();

    @Override
    public void events(List<AlarmEvent> news) {
      events.addAll(news);
    }

    @Override
    public void states(List<TankState> news) {
      states.add(news);
    }

    @Override
    public void noted(TankEvent event) {
      notes.add(event);
    }

    @Override
    public void outOfService(String tank, Instant time, List<OutOfService> now) {
      outOfService.add(now);
    }
  }

  private WatchService service(List<Reading> past, WatchListener... listeners) {
    return new WatchService(FARM, now::get, past, List.of(listeners));
  }

  /** A reading a second of the same oxygen. */
  private static List<Reading> oxygen(Instant from, int seconds, double mgPerL) {
    List<Reading> readings = new ArrayList<>();
    for (int s = 0; s < seconds; s++) {
      readings.add(new Reading("h1", Quantity.OXYGEN, "1", from.plusSeconds(s), mgPerL));
    }
    return readings;
  }

  @Test
  void lowOxygen_isToldAndAcknowledgedByName() {
    try (WatchService watch = service(List.of(), told)) {
      watch.accept(oxygen(START, 5, 4.0));
      assertThat(told.events)
          .singleElement()
          .satisfies(
              e -> {
                assertThat(e.cause()).isEqualTo(AlarmCause.OXYGEN_LOW);
                assertThat(e.event()).isEqualTo(AlarmEvent.Kind.RAISED);
              });

      watch.acknowledge("h1", AlarmCause.OXYGEN_LOW, "Robin");

      assertThat(told.events.get(1).event()).isEqualTo(AlarmEvent.Kind.ACKNOWLEDGED);
      assertThat(watch.states().get(0).alarms())
          .singleElement()
          .satisfies(
              a -> {
                assertThat(a.state()).isEqualTo(AlarmState.ACKNOWLEDGED);
                assertThat(a.acknowledgedBy()).contains("Robin");
              });
    }
  }

  @Test
  void acknowledgementOfWhatDoesNotStand_changesNothing_andOfNoTankIsRefused() {
    try (WatchService watch = service(List.of(), told)) {
      watch.acknowledge("h1", AlarmCause.OXYGEN_LOW, "Robin");

      assertThat(told.events).isEmpty();
      assertThatIllegalArgumentException()
          .isThrownBy(() -> watch.acknowledge("h9", AlarmCause.OXYGEN_LOW, "Robin"))
          .withMessageContaining("no tank \"h9\"");
    }
  }

  @Test
  void whatSomebodyDidAtATank_isToldWithTheirName_andTheWatchKnows() {
    try (WatchService watch = service(List.of(), told)) {
      watch.perform(new TankAct.Note("h1", TankEvent.Kind.FED, "Robin"));

      assertThat(told.notes)
          .containsExactly(new TankEvent("h1", TankEvent.Kind.FED, START, Optional.of("Robin")));
      assertThatIllegalArgumentException()
          .isThrownBy(() -> watch.perform(new TankAct.Note("h9", TankEvent.Kind.FED, "Robin")));
    }
  }

  @Test
  void tankOutOfService_isToldAndShown_untilItReturnsByItself() {
    try (WatchService watch = service(List.of(), told)) {
      watch.perform(
          new TankAct.TakeOutOfService(
              "h1", Optional.empty(), "new diffusers", "Robin", Duration.ofMinutes(90)));
      watch.accept(oxygen(START, 5, 4.0));

      assertThat(told.outOfService.get(0))
          .singleElement()
          .satisfies(o -> assertThat(o.until()).isEqualTo(START.plusSeconds(5400)));
      assertThat(told.events).singleElement().matches(e -> !e.annunciated());
      assertThat(watch.states().get(0).outOfService()).hasSize(1);

      now.set(START.plusSeconds(5400));
      await().atMost(PATIENCE).until(() -> told.outOfService.size() == 2);
      assertThat(told.outOfService.get(1)).isEmpty();
    }
  }

  @Test
  void lastOxygenProbeOfAStockedTank_isNotPutAside() {
    try (WatchService watch = service(List.of(), told)) {
      watch.accept(oxygen(START, 30, 9.0));
      await()
          .atMost(PATIENCE)
          .until(
              () -> {
                now.updateAndGet(t -> t.plusSeconds(10));
                return told.events.stream().anyMatch(e -> e.cause() == AlarmCause.PROBE_SILENT);
              });

      assertThatExceptionOfType(RefusedActException.class)
          .isThrownBy(
              () ->
                  watch.perform(
                      new TankAct.OnAlarm(
                          "h1",
                          AlarmCause.PROBE_SILENT,
                          TankAct.OnAlarm.What.SHELVE,
                          "Robin",
                          Optional.of(Duration.ofMinutes(10)))))
          .withMessageStartingWith("Nothing else watches the oxygen of Holding 1");
    }
  }

  @Test
  void past_isLearnedInSilenceButForWhatStandsAtItsEnd() {
    List<Reading> past = oxygen(START.minusSeconds(600), 599, 4.0);

    try (WatchService watch = service(past, told)) {
      assertThat(told.events)
          .singleElement()
          .satisfies(
              e -> {
                assertThat(e.event()).isEqualTo(AlarmEvent.Kind.RAISED);
                assertThat(e.cause()).isEqualTo(AlarmCause.OXYGEN_LOW);
                assertThat(e.time()).isBefore(START.minusSeconds(590));
              });
      assertThat(watch.states().get(0).oxygenMgPerL()).hasValue(4.0);
    }
  }

  @Test
  void everySecond_statesAreToldWithTheTimeOfTheClock() {
    try (WatchService watch = service(List.of(), told)) {
      watch.accept(oxygen(START, 5, 9.0));
      now.set(START.plusSeconds(5));

      await()
          .atMost(PATIENCE)
          .until(
              () ->
                  told.states.stream().anyMatch(s -> s.get(0).time().equals(START.plusSeconds(5))));
      assertThat(watch.states().get(0).oxygenMgPerL()).hasValue(9.0);
    }
  }

  @Test
  void probeThatFallsSilent_isToldWithoutAnyReading() {
    try (WatchService watch = service(List.of(), told)) {
      watch.accept(oxygen(START, 30, 9.0));
      now.set(START.plusSeconds(30));
      await().atMost(PATIENCE).until(() -> !told.states.isEmpty());
      now.set(START.plusSeconds(60));
      await()
          .atMost(PATIENCE)
          .until(
              () -> {
                now.updateAndGet(t -> t.plusSeconds(10));
                return told.events.stream().anyMatch(e -> e.cause() == AlarmCause.PROBE_SILENT);
              });
    }
  }

  @Test
  void listenerThatThrows_stopsNeitherTheReadingsNorTheSeconds() {
    WatchListener faulty =
        new WatchListener() {
          @Override
          public void events(List<AlarmEvent> events) {
            throw new IllegalStateException("a fault of ours");
          }

          @Override
          public void states(List<TankState> states) {
            throw new IllegalStateException("a fault of ours");
          }
        };
    try (WatchService watch = service(List.of(), told, faulty)) {
      watch.accept(oxygen(START, 5, 4.0));
      watch.accept(oxygen(START.plusSeconds(5), 5, 4.0));
      now.set(START.plusSeconds(10));

      await().atMost(PATIENCE).until(() -> told.states.size() >= 2);
      assertThat(watch.states().get(0).newestReading()).contains(START.plusSeconds(9));
    }
  }

  @Test
  void close_endsTheSeconds() {
    service(List.of(), told).close();

    await()
        .atMost(PATIENCE)
        .until(
            () ->
                Thread.getAllStackTraces().keySet().stream()
                    .noneMatch(t -> t.getName().equals("watch-seconds")));
  }
}
