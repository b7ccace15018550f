// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Supplier;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.memory.WatchMemory;
import opercle.analysis.watch.FarmWatch;
import opercle.analysis.watch.TankState;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.store.ReadingStore;
import opercle.ingest.store.SqliteReadings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A watch that ends, in one way or another, and the one that takes up what it left. */
class ResumeTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);
  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  private static final String H1 =
      """
        - id: h1
          name: Holding 1
          kind: holding
          waterLitres: 1500
          supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
          load: { species: tench, kg: 55, count: 70 }
      """;
  private static final Farm FARM = farm(H1);

  @TempDir Path folder;

  private final AtomicReference<Instant> now = new AtomicReference<>(START);

  private static Farm farm(String tanks) {
    return FarmReader.parse("farm.yaml", "farm: Sallowmere\ntanks:\n" + tanks);
  }

  /** Hears everything, and hands it on at once or never. */
  private static final class Listener implements WatchListener {
    final List<AlarmEvent> events = new CopyOnWriteArrayList<>();
    volatile boolean handsOn = true;
    volatile Runnable whenTold = () -> {};

    @Override
    public void events(List<AlarmEvent> news) {
      whenTold.run();
      events.addAll(news);
    }

    @Override
    public void states(List<TankState> states) {}

    @Override
    public List<AlarmEvent> pending() {
      return handsOn ? List.of() : List.copyOf(events);
    }
  }

  private WatchService resume(Optional<ReadingStore> store, WatchListener... listeners)
      throws IOException {
    return WatchService.resume(FARM, now::get, WatchMemory.in(folder), store, List.of(listeners));
  }

  private static Reading oxygen(int second, double mgPerL) {
    return new Reading("h1", Quantity.OXYGEN, "1", START.plusSeconds(second), mgPerL);
  }

  private static Reading flow(int second, double litresPerMinute) {
    return new Reading("h1", Quantity.GAS_FLOW, "1", START.plusSeconds(second), litresPerMinute);
  }

  private static Reading temperature(int second) {
    return new Reading("h1", Quantity.TEMPERATURE, "1", START.plusSeconds(second), 12.0);
  }

  private static List<Reading> low(int from, int to) {
    List<Reading> readings = new ArrayList<>();
    for (int s = from; s < to; s++) {
      readings.add(oxygen(s, 4.5));
    }
    return readings;
  }

  private WatchMemory.Alarms saved() throws IOException {
    return WatchMemory.in(folder).alarms().orElseThrow().what();
  }

  @Test
  void alarm_isOnTheDiskBeforeAnybodyIsTold() throws IOException {
    Listener told = new Listener();
    List<WatchMemory.Alarms> onDisk = new ArrayList<>();
    told.whenTold =
        () -> {
          try {
            onDisk.add(saved());
          } catch (IOException e) {
            throw new java.io.UncheckedIOException(e);
          }
        };
    try (WatchService watch = resume(Optional.empty(), told)) {
      watch.accept(low(0, 5));
    }

    assertThat(onDisk)
        .singleElement()
        .satisfies(
            alarms -> {
              assertThat(alarms.standing().books().get("h1")).containsKey(AlarmCause.OXYGEN_LOW);
              assertThat(alarms.untold()).isEqualTo(told.events);
            });
  }

  @Test
  void eventThatWasNotHandedOn_isToldAgainTheSame_andOneThatWasIsNot() throws IOException {
    Listener first = new Listener();
    first.handsOn = false;
    WatchService killed = resume(Optional.empty(), first); // never closed, as if it were killed
    killed.accept(low(0, 5));
    assertThat(first.events).hasSize(1);

    Listener second = new Listener();
    try (WatchService again = resume(Optional.empty(), second)) {
      assertThat(second.events).isEqualTo(first.events);
      assertThat(again.states().get(0).alarms()).hasSize(1);
      await().atMost(PATIENCE).until(() -> saved().untold().isEmpty());
    }

    Listener third = new Listener();
    try (WatchService again = resume(Optional.empty(), third)) {
      assertThat(third.events).isEmpty();
      assertThat(again.states().get(0).alarms()).hasSize(1);
    }
    killed.close();
  }

  @Test
  void acknowledgedAlarm_standsAcknowledgedBySamePersonSinceTheSameTime() throws IOException {
    Listener first = new Listener();
    WatchService killed = resume(Optional.empty(), first);
    killed.accept(low(0, 5));
    killed.acknowledge("h1", AlarmCause.OXYGEN_LOW, "Robin");
    var before = killed.states().get(0).alarms();
    await().atMost(PATIENCE).until(() -> saved().untold().isEmpty());

    Listener second = new Listener();
    try (WatchService again = resume(Optional.empty(), second)) {
      assertThat(again.states().get(0).alarms()).isEqualTo(before);
      assertThat(before.get(0).acknowledgedBy()).contains("Robin");
      assertThat(before.get(0).state()).isEqualTo(AlarmState.ACKNOWLEDGED);
      again.accept(low(5, 60));
      assertThat(second.events).as("it is no news").isEmpty();
    }
    killed.close();
  }

  @Test
  void killedBetweenStoreAndWatch_whatTheStoreHasIsToldAfterTheRestart() throws IOException {
    try (SqliteReadings store = SqliteReadings.open(folder.resolve("readings.db"))) {
      WatchService killed = resume(Optional.of(store), new Listener());
      store.accept(low(0, 5)); // and the watch was never given them
      now.set(START.plusSeconds(6));

      Listener second = new Listener();
      try (WatchService again = resume(Optional.of(store), second)) {
        assertThat(second.events)
            .singleElement()
            .satisfies(e -> assertThat(e.time()).isEqualTo(START.plusSeconds(1)));
        assertThat(again.states().get(0).oxygenMgPerL()).hasValue(4.5);
      }
      killed.close();
    }
  }

  /**
   * What was learned is saved once a minute, and the alarms in between; what lies between is taken
   * from the store, and the watch says at every later reading what one without an end would say.
   */
  @Test
  void killedAnywhereInANight_saysTheSameAtTheSameReadings() throws IOException {
    List<List<Reading>> night = new ArrayList<>();
    for (int s = 0; s < 2400; s++) {
      double fallen = Math.max(0, s - 1500) * 0.25 / 60.0;
      double oxygen = Math.round(100.0 * (9.0 - fallen + 0.03 * Math.sin(s * 1.7))) / 100.0;
      night.add(List.of(temperature(s), flow(s, 45.0 + s % 3), oxygen(s, oxygen)));
    }
    FarmWatch through = new FarmWatch(FARM);
    List<AlarmEvent> expected = new ArrayList<>();
    for (int s = 0; s < night.size(); s++) {
      expected.addAll(through.tick(START.plusSeconds(s)));
      night.get(s).forEach(r -> expected.addAll(through.accept(r)));
    }
    assertThat(expected)
        .extracting(AlarmEvent::cause)
        .contains(AlarmCause.OXYGEN_FALLING, AlarmCause.OXYGEN_LOW);

    for (int killedAt : List.of(1490, 1530, 1600, 1630, 1700, 1900, 2399)) {
      Path data = folder.resolve("killed-at-" + killedAt);
      WatchMemory memory = WatchMemory.in(data);
      List<AlarmEvent> told = new ArrayList<>();
      try (SqliteReadings store = SqliteReadings.open(data.resolve("readings.db"))) {
        store.accept(night.subList(0, killedAt).stream().flatMap(List::stream).toList());
        FarmWatch running = new FarmWatch(FARM);
        int number = 0;
        for (int s = 0; s < killedAt; s++) {
          List<AlarmEvent> events = new ArrayList<>(running.tick(START.plusSeconds(s)));
          night.get(s).forEach(r -> events.addAll(running.accept(r)));
          if (!events.isEmpty()) {
            memory.saveAlarms(
                START.plusSeconds(s),
                ++number,
                new WatchMemory.Alarms(running.alarms(), List.of()));
            told.addAll(events);
          }
          if (s % 60 == 59) {
            memory.saveLearned(START.plusSeconds(s), running.snapshot());
          }
        }

        Resumed resumed =
            Resumed.from(memory, FARM, START.plusSeconds(killedAt), Optional.of(store));
        told.addAll(resumed.toTell());
        for (int s = killedAt; s < night.size(); s++) {
          told.addAll(resumed.watch().tick(START.plusSeconds(s)));
          night.get(s).forEach(r -> told.addAll(resumed.watch().accept(r)));
        }
      }
      assertThat(told).as("killed at second %d", killedAt).isEqualTo(expected);
    }
  }

  @Test
  void nothingSaved_learnsFromTheLastHalfHourOfTheStore_andTellsOnlyWhatStands()
      throws IOException {
    try (SqliteReadings store = SqliteReadings.open(folder.resolve("readings.db"))) {
      store.accept(low(0, 1200));
      now.set(START.plusSeconds(1201));
      Listener told = new Listener();
      try (WatchService watch = resume(Optional.of(store), told)) {
        assertThat(told.events)
            .singleElement()
            .satisfies(
                e -> {
                  assertThat(e.event()).isEqualTo(AlarmEvent.Kind.RAISED);
                  assertThat(e.cause()).isEqualTo(AlarmCause.OXYGEN_LOW);
                });
        assertThat(watch.states().get(0).oxygenMgPerL()).hasValue(4.5);
      }
    }
  }

  @Test
  void learningLost_alarmsStandAndTheLinesNormalIsLearnedFromTheStore() throws IOException {
    try (SqliteReadings store = SqliteReadings.open(folder.resolve("readings.db"))) {
      Listener first = new Listener();
      try (WatchService watch = resume(Optional.of(store), first)) {
        List<Reading> night = new ArrayList<>();
        for (int s = 0; s < 600; s++) {
          night.add(oxygen(s, 9.0));
          night.add(flow(s, s < 500 ? 30.0 : 0.0));
        }
        store.accept(night);
        watch.accept(night);
        now.set(START.plusSeconds(600));
        watch.acknowledge("h1", AlarmCause.GAS_LINE_STOPPED, "Robin");
        assertThat(first.events).extracting(e -> e.event() + " " + e.message()).hasSize(2);
      }
      Files.delete(folder.resolve("watch-learned.json"));
      now.set(START.plusSeconds(601));

      Listener second = new Listener();
      try (WatchService again = resume(Optional.of(store), second)) {
        assertThat(again.states().get(0).alarms())
            .singleElement()
            .satisfies(a -> assertThat(a.acknowledgedBy()).contains("Robin"));
        again.accept(List.of(flow(601, 0.0), oxygen(601, 9.0)));
        assertThat(second.events).isEmpty();
      }
    }
  }

  @Test
  void changedFarm_newTankStartsWithoutAPast_removedOneIsGone() throws IOException {
    try (WatchService watch = resume(Optional.empty(), new Listener())) {
      watch.accept(low(0, 5));
    }
    Farm changed = farm(H1.replace("id: h1", "id: h2"));
    Supplier<WatchService> again =
        () -> {
          try {
            return WatchService.resume(
                changed, now::get, WatchMemory.in(folder), Optional.empty(), List.of());
          } catch (IOException e) {
            throw new java.io.UncheckedIOException(e);
          }
        };

    try (WatchService watch = again.get()) {
      assertThat(watch.states())
          .singleElement()
          .satisfies(
              s -> {
                assertThat(s.tank()).isEqualTo("h2");
                assertThat(s.alarms()).isEmpty();
              });
    }
  }

  @Test
  void diskThatFails_isTroubleButNoAlarmIsHeldBack() throws IOException {
    Path data = folder.resolve("data");
    Listener told = new Listener();
    try (WatchService watch =
        WatchService.resume(
            FARM, now::get, WatchMemory.in(data), Optional.empty(), List.of(told))) {
      Files.delete(data);
      Files.writeString(data, "in the way");

      watch.accept(low(0, 5));

      assertThat(told.events).hasSize(1);
      assertThat(watch.troubles()).singleElement().asString().contains("cannot be saved");
      Files.delete(data);
      Files.createDirectory(data);
      watch.acknowledge("h1", AlarmCause.OXYGEN_LOW, "Robin");
      assertThat(watch.troubles()).isEmpty();
    }
  }
}
