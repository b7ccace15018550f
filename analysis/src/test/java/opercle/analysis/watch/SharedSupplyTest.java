// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.IntToDoubleFunction;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.Test;

/** Many tanks lose their gas at once: one alarm of one cause, and no tank forgotten. */
class SharedSupplyTest {

  private static final double FLOW = 45.0;
  private static final int STOP = 600;

  private final List<AlarmEvent> events = new ArrayList<>();

  private static Tank tank(int i, Optional<String> source) {
    return new Tank(
        "h" + i,
        "Holding " + i,
        Tank.Kind.HOLDING,
        1500.0,
        0.8,
        new Tank.Supply(
            Tank.Gas.AIR,
            Tank.Source.BLOWER,
            Tank.Diffuser.POROUS_HOSE,
            FLOW,
            Optional.empty(),
            source),
        // the more fish, the less time
        List.of(SallowmereTanks.load(Species.TENCH, 40.0 + 4.0 * i, 70)),
        Optional.empty());
  }

  private static Farm farm(int tanks, Optional<String> source) {
    List<Tank> all = new ArrayList<>();
    for (int i = 1; i <= tanks; i++) {
      all.add(tank(i, source));
    }
    return new Farm("Sallowmere", 40.0, all);
  }

  /** Every five seconds a reading of each; the flow is that share of normal for each tank. */
  private void run(FarmWatch watch, int tanks, int from, int to, IntToDoubleFunction flowShare) {
    for (int s = from; s < to; s += 5) {
      events.addAll(watch.tick(SallowmereTanks.at(s)));
      for (int i = 1; i <= tanks; i++) {
        String id = "h" + i;
        double t = s + 0.01 * i;
        events.addAll(watch.accept(SallowmereTanks.reading(id, Quantity.TEMPERATURE, t, 12.0)));
        events.addAll(watch.accept(SallowmereTanks.reading(id, Quantity.OXYGEN, t, 9.0)));
        events.addAll(
            watch.accept(
                SallowmereTanks.reading(
                    id, Quantity.GAS_FLOW, t, FLOW * flowShare.applyAsDouble(i))));
      }
    }
  }

  private List<AlarmEvent> calls() {
    return events.stream()
        .filter(AlarmEvent::annunciated)
        .filter(
            e ->
                Set.of(
                        AlarmEvent.Kind.RAISED,
                        AlarmEvent.Kind.ESCALATED,
                        AlarmEvent.Kind.UNSUPPRESSED,
                        AlarmEvent.Kind.RE_ALARMED)
                    .contains(e.event()))
        .toList();
  }

  @Test
  void fortyTanksOnOneBlower_areOneAlarm_thatNamesThemAll() {
    FarmWatch watch = new FarmWatch(farm(40, Optional.of("shed blower")));
    run(watch, 40, 0, STOP, i -> 1.0);
    run(watch, 40, STOP, STOP + 300, i -> 0.0);

    Set<AlarmId> called = new HashSet<>();
    calls().forEach(e -> called.add(e.id()));
    assertThat(called).hasSize(1);
    List<Alarm> standing = watch.standing();
    assertThat(standing).hasSize(40);
    Alarm root = standing.stream().filter(Alarm::annunciated).reduce((a, b) -> null).orElseThrow();
    assertThat(root.tanks()).hasSize(40).startsWith("h40", "h39").endsWith("h1");
    assertThat(root.timeInHandMinutes())
        .as("it tells, and calls by, the least time of all")
        .isEqualTo(
            standing.stream()
                .map(Alarm::timeInHandMinutes)
                .flatMapToDouble(OptionalDouble::stream)
                .min());
    assertThat(root.message())
        .startsWith(root.tank().replace("h", "Holding ") + ": gas lost in 40");
    for (int i = 1; i <= 40; i++) {
      assertThat(root.message()).contains("Holding " + i + " about ");
    }
    assertThat(standing)
        .filteredOn(a -> !a.id().equals(root.id()))
        .allSatisfy(
            a -> {
              assertThat(a.state()).isEqualTo(AlarmState.SUPPRESSED);
              assertThat(a.root()).contains(root.id());
            });
    double told =
        events.stream()
            .filter(e -> e.id().equals(root.id()))
            .reduce((a, b) -> b)
            .orElseThrow()
            .timeInHandMinutes()
            .orElseThrow();
    assertThat(told)
        .isCloseTo(
            watch
                .state("h40", SallowmereTanks.at(STOP + 295))
                .timeInHandIfGasStops()
                .likelyMinutes()
                .orElseThrow(),
            org.assertj.core.data.Offset.offset(1.0));
  }

  @Test
  void fortyUnrelatedTanks_standEachForItself() {
    FarmWatch watch = new FarmWatch(farm(40, Optional.empty()));
    run(watch, 40, 0, STOP, i -> 1.0);
    run(watch, 40, STOP, STOP + 60, i -> 0.0);

    assertThat(watch.standing())
        .hasSize(40)
        .allSatisfy(a -> assertThat(a.state()).isEqualTo(AlarmState.UNACKNOWLEDGED));
  }

  @Test
  void gasBackInAll_clearsAll_andLeavesTheOneToBeResetAlone() {
    FarmWatch watch = new FarmWatch(farm(5, Optional.of("shed blower")));
    run(watch, 5, 0, STOP, i -> 1.0);
    run(watch, 5, STOP, STOP + 120, i -> 0.0);
    int before = calls().size();
    run(watch, 5, STOP + 120, STOP + 500, i -> 1.0);

    assertThat(calls()).hasSize(before);
    assertThat(watch.standing())
        .singleElement()
        .satisfies(a -> assertThat(a.state()).isEqualTo(AlarmState.LATCHED_UNACKNOWLEDGED));
  }

  @Test
  void gasBackInTheFirstOnly_letsTheOneWithTheLeastTimeSpeakForTheRest() {
    FarmWatch watch = new FarmWatch(farm(5, Optional.of("shed blower")));
    run(watch, 5, 0, STOP, i -> 1.0);
    run(watch, 5, STOP, STOP + 120, i -> 0.0);
    String first = calls().get(0).tank();
    events.clear();
    run(watch, 5, STOP + 120, STOP + 500, i -> ("h" + i).equals(first) ? 1.0 : 0.0);

    assertThat(calls()).singleElement().satisfies(e -> assertThat(e.tank()).isEqualTo("h5"));
    Alarm speaking = watch.standing().stream().filter(Alarm::annunciated).findFirst().orElseThrow();
    assertThat(speaking.tanks()).hasSize(4).doesNotContain(first);
  }

  @Test
  void lateTank_joins_andTheFirstTellsIt() {
    FarmWatch watch = new FarmWatch(farm(3, Optional.of("shed blower")));
    run(watch, 3, 0, STOP, i -> 1.0);
    run(watch, 3, STOP, STOP + 120, i -> i == 3 ? 1.0 : 0.0);
    events.clear();
    run(watch, 3, STOP + 120, STOP + 240, i -> 0.0);

    assertThat(calls()).isEmpty();
    assertThat(events)
        .filteredOn(e -> e.event() == AlarmEvent.Kind.CHANGED && e.tanks().size() == 3)
        .isNotEmpty();
  }

  @Test
  void tankThatLosesItsGasMuchLater_callsForItself() {
    FarmWatch watch = new FarmWatch(farm(3, Optional.of("shed blower")));
    run(watch, 3, 0, STOP, i -> 1.0);
    run(watch, 3, STOP, STOP + 700, i -> i == 1 ? 0.0 : 1.0);
    events.clear();
    run(watch, 3, STOP + 700, STOP + 760, i -> i == 3 ? 1.0 : 0.0);

    assertThat(calls()).singleElement().satisfies(e -> assertThat(e.tank()).isEqualTo("h2"));
  }

  @Test
  void firstTankTakenOutOfService_doesNotSilenceTheOthers() {
    FarmWatch watch = new FarmWatch(farm(3, Optional.of("shed blower")));
    run(watch, 3, 0, STOP, i -> 1.0);
    run(watch, 3, STOP, STOP + 120, i -> 0.0);
    String first = calls().get(0).tank();
    events.clear();
    events.addAll(
        watch.takeOutOfService(
            first,
            new opercle.analysis.alarm.OutOfService(
                Optional.empty(),
                "emptied for cleaning",
                "Ann",
                SallowmereTanks.at(STOP + 120),
                SallowmereTanks.at(STOP + 4000))));
    run(watch, 3, STOP + 120, STOP + 180, i -> 0.0);

    assertThat(calls()).hasSize(1);
    assertThat(watch.standing()).filteredOn(Alarm::annunciated).hasSize(1);
  }

  @Test
  void restored_goesOnTheSame() {
    Farm farm = farm(5, Optional.of("shed blower"));
    FarmWatch watch = new FarmWatch(farm);
    run(watch, 5, 0, STOP, i -> 1.0);
    run(watch, 5, STOP, STOP + 60, i -> 0.0);
    FarmWatch again = FarmWatch.restore(farm, watch.snapshot());
    assertThat(again.standing()).isEqualTo(watch.standing());

    events.clear();
    run(watch, 5, STOP + 60, STOP + 600, i -> i == 1 ? 1.0 : 0.0);
    List<AlarmEvent> first = List.copyOf(events);
    events.clear();
    run(again, 5, STOP + 60, STOP + 600, i -> i == 1 ? 1.0 : 0.0);

    assertThat(events).isEqualTo(first);
    assertThat(again.snapshot()).isEqualTo(watch.snapshot());
  }

  @Test
  void keeperWhoIsLongOnTheWay_isCalledForMoreTimeInHand() {
    Tank near = SallowmereTanks.holding();
    Tank far =
        new Tank(
            near.id(),
            near.name(),
            near.kind(),
            near.waterLitres(),
            near.depthM(),
            near.supply(),
            near.loads(),
            near.floors(),
            java.util.OptionalDouble.of(90.0));
    TimeInHand fiveHours = new TimeInHand.Minutes(new opercle.analysis.Band(300.0, 330.0, 400.0));

    assertThat(Urgency.ofSupplyLoss(Urgency.against(near, fiveHours))).isEqualTo(Priority.MEDIUM);
    assertThat(Urgency.ofSupplyLoss(Urgency.against(far, fiveHours))).isEqualTo(Priority.HIGH);
  }
}
