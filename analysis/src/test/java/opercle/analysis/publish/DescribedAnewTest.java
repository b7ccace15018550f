// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicReference;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.memory.WatchMemory;
import opercle.analysis.watch.TankEvent;
import opercle.analysis.watch.TankState;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The farm changes under a running watch. */
class DescribedAnewTest {

  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");

  @TempDir Path folder;
  private final AtomicReference<Instant> now = new AtomicReference<>(START);
  private final Told told = new Told();

  private static final class Told implements WatchListener {
    final List<AlarmEvent> events = new CopyOnWriteArrayList<>();
    final List<TankEvent> notes = new CopyOnWriteArrayList<>();
    final List<Set<String>> gone = new CopyOnWriteArrayList<>();

    @Override
    public void events(List<AlarmEvent> news) {
      events.addAll(news);
    }

    @Override
    public void states(List<TankState> news) {}

    @Override
    public void noted(TankEvent event) {
      notes.add(event);
    }

    @Override
    public void described(Farm farm, Set<String> tanks) {
      gone.add(tanks);
    }
  }

  private static String tank(String id, String load) {
    return """
          - id: %s
            name: Holding %s
            kind: holding
            waterLitres: 1500
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
            load: %s
        """
        .formatted(id, id.substring(1), load);
  }

  private static Farm farm(String... tanks) {
    return FarmReader.parse("farm.yaml", "farm: Sallowmere\ntanks:\n" + String.join("", tanks));
  }

  private static final String TENCH = "[{ species: tench, kg: 55, count: 70 }]";

  private static Reading oxygen(String tank, int second, double mgPerL) {
    return new Reading(tank, Quantity.OXYGEN, "1", START.plusSeconds(second), mgPerL);
  }

  private static void lowOxygen(WatchService watch, String tank) {
    List<Reading> readings = new ArrayList<>();
    for (int s = 0; s < 5; s++) {
      readings.add(oxygen(tank, s, 4.0));
    }
    watch.accept(readings);
  }

  @Test
  void tankAdded_isWatchedAtOnce() {
    try (WatchService watch =
        new WatchService(farm(tank("h1", TENCH)), now::get, List.of(), List.of(told))) {
      watch.describe(farm(tank("h1", TENCH), tank("h2", TENCH)), "Robin");
      lowOxygen(watch, "h2");

      assertThat(watch.states()).extracting(TankState::tank).containsExactly("h1", "h2");
      assertThat(told.events)
          .filteredOn(e -> e.tank().equals("h2"))
          .extracting(AlarmEvent::cause)
          .containsExactly(AlarmCause.OXYGEN_LOW);
    }
  }

  @Test
  void tankTakenOut_itsStandingAlarmsAreClearedAndSaidWhy() {
    try (WatchService watch =
        new WatchService(
            farm(tank("h1", TENCH), tank("h2", TENCH)), now::get, List.of(), List.of(told))) {
      lowOxygen(watch, "h2");
      watch.describe(farm(tank("h1", TENCH)), "Robin");

      AlarmEvent last = told.events.get(told.events.size() - 1);
      assertThat(last.event()).isEqualTo(AlarmEvent.Kind.CLEARED);
      assertThat(last.state()).isEqualTo(AlarmState.NORMAL);
      assertThat(last.message())
          .isEqualTo("Holding 2: taken out of the farm. Nothing is watched there any more.");
      assertThat(told.gone).containsExactly(Set.of("h2"));
      assertThat(watch.states()).extracting(TankState::tank).containsExactly("h1");
    }
  }

  @Test
  void moreFish_countAsAddedByWhoeverSaysSo_andFewerAsTaken() {
    try (WatchService watch =
        new WatchService(farm(tank("h1", TENCH)), now::get, List.of(), List.of(told))) {
      watch.describe(farm(tank("h1", "[{ species: tench, kg: 80 }]")), "Robin");
      watch.describe(farm(tank("h1", "[{ species: tench, kg: 20 }]")), "Wren");

      assertThat(told.notes)
          .containsExactly(
              new TankEvent("h1", TankEvent.Kind.FISH_ADDED, START, Optional.of("Robin")),
              new TankEvent("h1", TankEvent.Kind.FISH_REMOVED, START, Optional.of("Wren")));
    }
  }

  @Test
  void emptied_endsTheAlarmOfTheFish() {
    try (WatchService watch =
        new WatchService(farm(tank("h1", TENCH)), now::get, List.of(), List.of(told))) {
      lowOxygen(watch, "h1");
      watch.describe(farm(tank("h1", "[]")), "Robin");
      watch.accept(List.of(oxygen("h1", 600, 4.0)));
      watch.accept(List.of(oxygen("h1", 1200, 4.0)));

      assertThat(told.events.get(told.events.size() - 1).event())
          .isEqualTo(AlarmEvent.Kind.CLEARED);
    }
  }

  @Test
  void killedRightAfterATankWasTakenOut_itsAlarmIsClearedAtTheNextStart() throws IOException {
    Farm both = farm(tank("h1", TENCH), tank("h2", TENCH));
    try (WatchService watch =
        WatchService.resume(
            both, now::get, WatchMemory.in(folder), Optional.empty(), List.of(told))) {
      lowOxygen(watch, "h2");
    }
    told.events.clear();

    try (WatchService again =
        WatchService.resume(
            farm(tank("h1", TENCH)),
            now::get,
            WatchMemory.in(folder),
            Optional.empty(),
            List.of(told))) {
      assertThat(told.events)
          .singleElement()
          .satisfies(
              e -> {
                assertThat(e.tank()).isEqualTo("h2");
                assertThat(e.state()).isEqualTo(AlarmState.NORMAL);
              });
      assertThat(again.states()).extracting(TankState::tank).containsExactly("h1");
    }
  }
}
