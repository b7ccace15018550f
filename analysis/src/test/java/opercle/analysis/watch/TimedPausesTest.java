// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Gas that a timer shuts off, with and without the keeper having said so. */
class TimedPausesTest {

  private static final double NORMAL_MG_PER_L = 9.0;
  private static final double BREATHED_PER_KG = 0.00072;
  private static final double RECOVERY_SECONDS = 900.0;
  private static final int INTERVAL = 5;

  private final List<AlarmEvent> events = new ArrayList<>();

  /** Air to a holding tank of 1500 L. */
  private static Farm farm(double kg, double pausesMinutes) {
    Tank.Supply supply = SallowmereTanks.holding().supply();
    return SallowmereTanks.farm(
        new Tank(
            "h1",
            "Holding 1",
            Tank.Kind.HOLDING,
            1500.0,
            0.8,
            pausesMinutes == 0.0 ? supply : supply.withPauses(pausesMinutes),
            List.of(SallowmereTanks.load(Species.TENCH, kg, 70)),
            Optional.empty()));
  }

  /**
   * What its probes tell: on for so long, off for so long, and from one instant on off for ever.
   *
   * @param lostAt when gas no longer reaches the water, though the meter may say so
   */
  private static List<Reading> readings(
      double kg, boolean meter, int on, int off, int stop, int lostAt, int end) {
    Random random = new Random(7);
    List<Reading> readings = new ArrayList<>();
    double oxygen = NORMAL_MG_PER_L;
    for (int s = 0; s < end; s += INTERVAL) {
      boolean flows = s < stop && s % (on + off) < on;
      oxygen +=
          flows && s < lostAt
              ? (NORMAL_MG_PER_L - oxygen) * INTERVAL / RECOVERY_SECONDS
              : -BREATHED_PER_KG * kg * INTERVAL / 60.0;
      readings.add(SallowmereTanks.reading("h1", Quantity.TEMPERATURE, s, 14.0));
      if (meter) {
        double flow = flows ? 45.0 + random.nextGaussian() : 0.1;
        readings.add(SallowmereTanks.reading("h1", Quantity.GAS_FLOW, s + 0.1, flow));
      }
      double read = oxygen + 0.02 * random.nextGaussian();
      readings.add(SallowmereTanks.reading("h1", Quantity.OXYGEN, s + 0.2, read));
    }
    return readings;
  }

  private void run(Farm farm, List<Reading> readings) {
    FarmWatch watch = new FarmWatch(farm);
    readings.forEach(r -> events.addAll(watch.accept(r)));
  }

  private List<AlarmEvent> raised(AlarmCause cause) {
    return events.stream()
        .filter(e -> e.cause() == cause && e.event() == AlarmEvent.Kind.RAISED)
        .toList();
  }

  private static double second(AlarmEvent event) {
    return Duration.between(SallowmereTanks.T0, event.time()).toMillis() / 1000.0;
  }

  @ParameterizedTest
  @ValueSource(doubles = {0.5, 1, 2, 3, 5, 8, 15, 30, 45, 60})
  void pausesThatAreKept_callNobody_andOneThatIsNot_isCalledAFifthLater(double pause) {
    int off = (int) (60.0 * pause);
    int cycle = 3 * off;
    int stop = cycle * Math.max(3, 7200 / cycle) + 2 * off;
    int end = stop + 2 * off + 120;
    run(farm(12.0, pause), readings(12.0, true, 2 * off, off, stop, Integer.MAX_VALUE, end));

    AlarmEvent first = events.get(0);
    double limit = Math.max(1.2 * off, off + 10.0);
    assertThat(first.cause()).isEqualTo(AlarmCause.GAS_LINE_STOPPED);
    assertThat(second(first) - stop).isBetween(limit, limit + 10.0);
    assertThat(first.message())
        .contains(", longer than its usual pause of " + Wording.plain(pause) + " min. ");
    assertThat(events).allMatch(e -> second(e) >= stop + off);
  }

  @Test
  void watch_restartedInThePause_saysTheSame() {
    Farm farm = farm(30.0, 5.0);
    FarmWatch through = new FarmWatch(farm);
    FarmWatch restarted = new FarmWatch(farm);
    for (Reading r : readings(30.0, true, 1500, 300, 3300, Integer.MAX_VALUE, 4200)) {
      if (r.time().getEpochSecond() % 60 == 0) {
        restarted = FarmWatch.restore(farm, restarted.snapshot());
      }
      List<AlarmEvent> said = through.accept(r);
      assertThat(restarted.accept(r)).isEqualTo(said);
      events.addAll(said);
    }
    assertThat(restarted.snapshot()).isEqualTo(through.snapshot());
    assertThat(raised(AlarmCause.GAS_LINE_STOPPED)).hasSize(1);
  }

  /** A heavy load has half an hour in hand at the most: the keeper's word does not withhold it. */
  @Test
  void pause_forWhichThereIsNoTime_isCalledAtOnce() {
    run(
        farm(400.0, 15.0),
        readings(400.0, true, 1800, 900, Integer.MAX_VALUE, Integer.MAX_VALUE, 2700));

    AlarmEvent first = raised(AlarmCause.GAS_LINE_STOPPED).get(0);
    assertThat(first.priority()).isEqualTo(Priority.HIGH);
    assertThat(second(first) - 1800.0).isLessThan(20.0);
    assertThat(first.message())
        .contains("too little time in hand to wait for the end of its usual pause of 15 min");
  }

  /** In a pause, the evening check must not find that there is no gas. */
  @Test
  void gasThatIsOffForItsPause_isAsUsual() {
    FarmWatch watch = new FarmWatch(farm(12.0, 5.0));
    readings(12.0, true, 1500, 300, Integer.MAX_VALUE, Integer.MAX_VALUE, 1700)
        .forEach(watch::accept);

    assertThat(watch.states(SallowmereTanks.at(1700)).get(0).checks().supply())
        .isEqualTo(TankChecks.Supply.NORMAL);
  }

  @Test
  void withoutAMeter_pausesThatAreKept_callNobody_andAFallThatOutlastsThem_isCalled() {
    int stop = 4 * 2100 + 1800;
    run(farm(60.0, 5.0), readings(60.0, false, 1800, 300, stop, Integer.MAX_VALUE, stop + 3600));

    assertThat(events).isNotEmpty().allMatch(e -> second(e) >= stop + 300);
    assertThat(raised(AlarmCause.GAS_NOT_REACHING_WATER)).isNotEmpty();
  }

  /** A gauge in the line sees the timer as a flow meter does, and a burst hose as ever. */
  @Test
  void pausesThatAreKept_callNobody_byAGaugeAlone_andOneThatIsNot_isCalled() {
    int stop = 4 * 2100 + 1800;
    List<Reading> flows =
        readings(12.0, true, 1800, 300, stop, Integer.MAX_VALUE, stop + 3600).stream()
            .map(
                r ->
                    r.quantity() == Quantity.GAS_FLOW
                        ? new Reading(
                            r.tank(),
                            Quantity.LINE_PRESSURE,
                            r.probe(),
                            r.time(),
                            r.value() / 100.0)
                        : r)
            .toList();
    run(farm(12.0, 5.0), flows);

    assertThat(events).isNotEmpty().allMatch(e -> second(e) >= stop + 300);
  }

  @Test
  void hoseThatIsOffAfterTheMeter_isCalled_thoughTheTimerGoesOn() {
    int off = 14_400;
    run(farm(60.0, 2.0), readings(60.0, true, 120, 120, Integer.MAX_VALUE, off, off + 3600));

    assertThat(raised(AlarmCause.GAS_LINE_STOPPED)).isEmpty();
    assertThat(raised(AlarmCause.GAS_NOT_REACHING_WATER)).isNotEmpty();
    assertThat(second(raised(AlarmCause.GAS_NOT_REACHING_WATER).get(0)) - off)
        .isBetween(0.0, 1500.0);
  }

  @Test
  void withoutTheKey_everyStopIsCalled_andTheThirdWithinAnHourAsksForATimer() {
    run(
        farm(12.0, 0.0),
        readings(12.0, true, 600, 300, Integer.MAX_VALUE, Integer.MAX_VALUE, 3600));

    assertThat(raised(AlarmCause.GAS_LINE_STOPPED))
        .hasSize(4)
        .satisfiesExactly(
            e -> assertThat(e.message()).doesNotContain("timer"),
            e -> assertThat(e.message()).doesNotContain("timer"),
            e -> assertThat(e.message()).contains("if a timer does it, enter that in set-up"),
            e -> assertThat(e.message()).contains("gas comes and goes"));
  }

  /** Half a minute on, half off: the alarm never ends, and somebody has it. */
  @Test
  void gasThatComesAndGoes_andThenStaysAway_callsWhoeverHasIt() {
    Farm farm = farm(30.0, 0.0);
    FarmWatch watch = new FarmWatch(farm);
    int stop = 3600;
    for (Reading r : readings(30.0, true, 60, 60, stop, Integer.MAX_VALUE, stop + 600)) {
      List<AlarmEvent> said = watch.accept(r);
      events.addAll(said);
      if (SallowmereTanks.at(3300).isBefore(r.time())
          && SallowmereTanks.at(3310).isAfter(r.time())) {
        watch.acknowledge("h1", AlarmCause.GAS_LINE_STOPPED, "Maren", r.time());
      }
    }

    assertThat(raised(AlarmCause.GAS_LINE_STOPPED)).hasSize(1);
    assertThat(events)
        .filteredOn(e -> e.event() == AlarmEvent.Kind.RE_ALARMED)
        .hasSize(1)
        .allSatisfy(
            e -> {
              assertThat(e.state()).isEqualTo(AlarmState.UNACKNOWLEDGED);
              assertThat(second(e) - stop).isBetween(10.0, 90.0);
              assertThat(e.message()).contains("longer than each of the stops before it");
            });
  }
}
