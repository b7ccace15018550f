// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import java.util.stream.Stream;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.farm.Farm;
import opercle.analysis.memory.WatchMemory;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/** A watch that is saved, and taken up again from the file, says what it would have said anyway. */
class RestartThroughFileTest {

  private static final Farm FARM =
      SallowmereTanks.farm(SallowmereTanks.holding(), SallowmereTanks.transport());
  private static final int CUTS = 24;

  @TempDir Path folder;

  /** A second at the watch: a tick, then readings; or, without readings, silence. */
  private record Step(double second, List<Reading> readings) {}

  static Stream<Arguments> nights() {
    return Stream.of(
        Arguments.of("a fall as if no gas reached the water", fall(11, 0.2)),
        Arguments.of("a slow fall", fall(12, 0.06)),
        Arguments.of("the gas line stops", gasStops()),
        Arguments.of("a probe falls silent", silence()),
        Arguments.of("a cylinder runs down", cylinder()),
        Arguments.of("fish in a closed vessel, measured", measured("29c_fish")),
        Arguments.of("a closed vessel without fish, measured", measured("20c_blank")));
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("nights")
  void watch_cutAnywhere_goesOnAsIfNothingHadBeen(String night, List<Step> steps)
      throws IOException {
    FarmWatch through = new FarmWatch(FARM);
    List<List<AlarmEvent>> said = steps.stream().map(s -> play(through, s)).toList();
    WatchMemory memory = WatchMemory.in(folder);
    FarmWatch running = new FarmWatch(FARM);
    int next = 0;
    for (int cut = 1; cut <= CUTS; cut++) {
      int at = cut * steps.size() / (CUTS + 1);
      for (; next < at; next++) {
        var unused = play(running, steps.get(next));
      }
      FarmWatch.Snapshot snapshot = running.snapshot();
      memory.saveLearned(SallowmereTanks.T0, snapshot);
      FarmWatch.Snapshot read = memory.learned().orElseThrow().what();
      assertThat(read).isEqualTo(snapshot);
      FarmWatch restored = FarmWatch.restore(FARM, read);
      for (int i = at; i < steps.size(); i++) {
        assertThat(play(restored, steps.get(i)))
            .as("%s, cut at step %d, at step %d", night, at, i)
            .isEqualTo(said.get(i));
      }
      assertThat(restored.snapshot()).isEqualTo(through.snapshot());
    }
  }

  @Test
  void nights_areWorthCutting() {
    Function<List<Step>, List<AlarmCause>> causes =
        steps -> {
          FarmWatch watch = new FarmWatch(FARM);
          return steps.stream()
              .flatMap(s -> play(watch, s).stream())
              .map(AlarmEvent::cause)
              .distinct()
              .toList();
        };

    assertThat(causes.apply(fall(11, 0.2))).contains(AlarmCause.GAS_NOT_REACHING_WATER);
    assertThat(causes.apply(fall(12, 0.06))).isNotEmpty();
    assertThat(causes.apply(gasStops())).contains(AlarmCause.GAS_LINE_STOPPED);
    assertThat(causes.apply(silence())).contains(AlarmCause.PROBE_SILENT);
    assertThat(causes.apply(cylinder())).contains(AlarmCause.CYLINDER_LOW);
    assertThat(causes.apply(measured("29c_fish")))
        .containsAnyOf(AlarmCause.GAS_NOT_REACHING_WATER, AlarmCause.OXYGEN_FALLING);
  }

  @Test
  void alarmsAlone_standThoughAllLearningIsLost_untilTheTankIsHeardToBeWell() throws IOException {
    FarmWatch first = new FarmWatch(FARM);
    gasStops().forEach(s -> play(first, s));
    first.acknowledge("h1", AlarmCause.GAS_LINE_STOPPED, "Ann", SallowmereTanks.at(1500));
    WatchMemory memory = WatchMemory.in(folder);
    memory.saveAlarms(
        SallowmereTanks.at(1500), 1, new WatchMemory.Alarms(first.alarms(), List.of()));

    FarmWatch second = new FarmWatch(SallowmereTanks.farm(SallowmereTanks.holding()));
    second.restoreAlarms(memory.alarms().orElseThrow().what().standing());
    second.startListening();
    assertThat(second.standing()).isEqualTo(first.standing());

    List<AlarmEvent> events = new ArrayList<>();
    for (int s = 1500; s < 1790; s++) { // silence proves nothing, nor does another probe's word
      events.addAll(second.tick(SallowmereTanks.at(s)));
      events.addAll(second.accept(SallowmereTanks.reading("h1", Quantity.TEMPERATURE, s, 12.0)));
    }
    assertThat(events).isEmpty();
    assertThat(second.standing())
        .filteredOn(a -> a.cause() == AlarmCause.GAS_LINE_STOPPED)
        .singleElement()
        .satisfies(a -> assertThat(a.acknowledgedBy()).contains("Ann"));

    for (int s = 1790; s < 2000; s++) {
      events.addAll(second.tick(SallowmereTanks.at(s)));
      events.addAll(second.accept(SallowmereTanks.reading("h1", Quantity.GAS_FLOW, s, 45.0)));
      events.addAll(second.accept(SallowmereTanks.reading("h1", Quantity.OXYGEN, s, 9.0)));
    }
    assertThat(events)
        .filteredOn(e -> e.cause() == AlarmCause.GAS_LINE_STOPPED)
        .singleElement()
        .satisfies(
            e -> {
              assertThat(e.event()).isEqualTo(AlarmEvent.Kind.CLEARED);
              assertThat(e.state()).isEqualTo(AlarmState.LATCHED_ACKNOWLEDGED);
              assertThat(e.time()).isBetween(SallowmereTanks.at(1909), SallowmereTanks.at(1912));
            });
  }

  @Test
  void savedState_staysBelowTwentyKilobytesATank() throws IOException {
    FarmWatch watch = new FarmWatch(FARM);
    Map<String, Signals> oxygen = new LinkedHashMap<>();
    oxygen.put("h1", new Signals(3, 1.0, 0.05, 30.0, 0.05));
    oxygen.put("t1", new Signals(4, 1.0, 0.05, 30.0, 0.05));
    for (int s = 0; s < 7200; s++) {
      for (Map.Entry<String, Signals> tank : oxygen.entrySet()) {
        String id = tank.getKey();
        watch.accept(SallowmereTanks.reading(id, Quantity.OXYGEN, s, tank.getValue().next()));
        watch.accept(SallowmereTanks.reading(id, Quantity.TEMPERATURE, s, 12.0 + s % 7 / 100.0));
        watch.accept(
            SallowmereTanks.reading(id, Quantity.GAS_FLOW, s, s < 7000 ? 45.0 + s % 9 / 10.0 : 0));
      }
      watch.tick(SallowmereTanks.at(s));
    }
    assertThat(watch.standing()).as("alarms are part of it").isNotEmpty();
    WatchMemory memory = WatchMemory.in(folder);
    memory.saveLearned(SallowmereTanks.T0, watch.snapshot());

    assertThat(Files.size(folder.resolve("watch-learned.json")) / 2).isBetween(2_000L, 20_000L);
  }

  private static List<AlarmEvent> play(FarmWatch watch, Step step) {
    List<AlarmEvent> events = new ArrayList<>(watch.tick(SallowmereTanks.at(step.second())));
    step.readings().forEach(r -> events.addAll(watch.accept(r)));
    return events;
  }

  private static List<Step> fall(long seed, double perMinute) {
    Signals signal = new Signals(seed, 5.0, 0.05, 30.0, 0.05).fallingFrom(3600.0, perMinute);
    List<Step> steps = new ArrayList<>();
    while (signal.now() < 5400.0) {
      double mgPerL = signal.next();
      steps.add(step(signal.now(), mgPerL, 12.0, 45.0));
    }
    return steps;
  }

  private static List<Step> gasStops() {
    Signals signal = new Signals(5, 5.0, 0.05, 30.0, 0.05);
    List<Step> steps = new ArrayList<>();
    while (signal.now() < 1500.0) {
      double mgPerL = signal.next();
      steps.add(step(signal.now(), mgPerL, 12.0, signal.now() < 900.0 ? 45.0 : 0.0));
    }
    return steps;
  }

  private static List<Step> silence() {
    Signals signal = new Signals(6, 5.0, 0.05, 30.0, 0.05);
    List<Step> steps = new ArrayList<>();
    while (signal.now() < 1500.0) {
      double mgPerL = signal.next();
      double s = signal.now();
      Reading temperature = SallowmereTanks.reading("h1", Quantity.TEMPERATURE, s, 12.0);
      steps.add(
          s < 900.0 || s > 1200.0
              ? step(s, mgPerL, 12.0, 45.0)
              : new Step(s, List.of(temperature)));
    }
    return steps;
  }

  private static List<Step> cylinder() {
    List<Step> steps = new ArrayList<>();
    for (int s = 0; s < 3600; s += 10) {
      steps.add(
          new Step(
              s,
              List.of(
                  SallowmereTanks.reading("t1", Quantity.TEMPERATURE, s, 9.0),
                  SallowmereTanks.reading("t1", Quantity.OXYGEN, s, 11.0 + s % 30 / 300.0),
                  SallowmereTanks.reading("t1", Quantity.GAS_FLOW, s, 2.5),
                  SallowmereTanks.reading("t1", Quantity.CYLINDER_PRESSURE, s, 120.0 - s / 60.0))));
    }
    return steps;
  }

  /** Minutes of a measured record, as RealTracesTest has them. */
  private static List<Step> measured(String name) {
    List<Step> steps = new ArrayList<>();
    String file = "zebrafish_closed_" + name + ".csv";
    try (var in = RestartThroughFileTest.class.getResourceAsStream(file)) {
      String text =
          new String(java.util.Objects.requireNonNull(in).readAllBytes(), StandardCharsets.UTF_8);
      for (String line : text.lines().toList()) {
        if (!line.isEmpty() && Character.isDigit(line.charAt(0))) {
          String[] cells = line.split(",", -1);
          double s = Double.parseDouble(cells[0]);
          steps.add(
              new Step(
                  s,
                  List.of(
                      SallowmereTanks.reading(
                          "h1", Quantity.TEMPERATURE, s, Double.parseDouble(cells[2])),
                      SallowmereTanks.reading(
                          "h1", Quantity.OXYGEN, s, Double.parseDouble(cells[1])))));
        }
      }
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(file, e);
    }
    return steps;
  }

  private static Step step(double second, double oxygen, double celsius, double flow) {
    return new Step(
        second,
        List.of(
            SallowmereTanks.reading("h1", Quantity.TEMPERATURE, second, celsius),
            SallowmereTanks.reading("h1", Quantity.GAS_FLOW, second, flow),
            SallowmereTanks.reading("h1", Quantity.OXYGEN, second, oxygen)));
  }
}
