// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.Priority;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Falls of water that nobody has yet heard for long enough to know what is usual for it. */
class StrangeWaterTest {

  private static final String TANK = "t1";
  private static final double LEVEL = 9.0;

  /** 75 min to the floor of 3 mg/L, (mg/L)/min. */
  private static final double SLOW = 0.08;

  /** The gas in the line, by a meter and a gauge; with none a tank has only its oxygen. */
  private enum Line {
    NOT_MEASURED,
    AS_USUAL,
    PRESSURE_LOW,
    MORE_FLOW,
    STOPPED
  }

  private FarmWatch watch = new FarmWatch(SallowmereTanks.farm(SallowmereTanks.transport()));
  private final List<AlarmEvent> events = new ArrayList<>();
  private final Random random = new Random(5);
  private double second;
  private boolean secondProbe;

  /** Fish that were just put in calm down: an hour is in hand, and nobody is called for nothing. */
  @ParameterizedTest(name = "{0} s after the first reading")
  @ValueSource(doubles = {300.0, 900.0})
  void slowFall_thatBendsInTime_isToldButWakesNobody(double quietSeconds) {
    hear(quietSeconds, Line.NOT_MEASURED, t -> LEVEL);
    hear(3600, Line.NOT_MEASURED, t -> LEVEL - 1.2 * -Math.expm1(-t / 720.0));

    assertThat(events).extracting(AlarmEvent::cause).contains(AlarmCause.GAS_NOT_REACHING_WATER);
    assertThat(events).extracting(AlarmEvent::priority).doesNotContain(Priority.HIGH);
  }

  @Test
  void slowFall_thatGoesStraightOn_wakesWhileMostOfTheTimeIsLeft() {
    hear(300, Line.NOT_MEASURED, t -> LEVEL);
    hear(2400, Line.NOT_MEASURED, t -> LEVEL - SLOW * t / 60.0);

    assertThat(minutesToHigh(300)).isBetween(8.0, 18.0);
  }

  @Test
  void sameFall_ofWaterThatIsKnown_wakesSooner() {
    hear(3600, Line.NOT_MEASURED, t -> LEVEL);
    hear(2400, Line.NOT_MEASURED, t -> LEVEL - SLOW * t / 60.0);

    assertThat(minutesToHigh(3600)).isLessThan(8.0);
  }

  @ParameterizedTest
  @EnumSource(names = {"PRESSURE_LOW", "MORE_FLOW"})
  void sameFall_whereAMeterSpeaksForALostSupply_wakesSooner(Line line) {
    hear(600, Line.AS_USUAL, t -> LEVEL);
    hear(2400, line, t -> LEVEL - SLOW * t / 60.0);

    assertThat(minutesToHigh(600)).isLessThan(8.0);
  }

  @Test
  void stop_thatAMeterSees_wakesAtOnce() {
    hear(60, Line.AS_USUAL, t -> LEVEL);
    hear(600, Line.STOPPED, t -> LEVEL - SLOW * t / 60.0);

    assertThat(minutesToHigh(60)).isLessThan(0.5);
  }

  /** Stops at 2, 5, 10 and 20 min: the share of the time to the floor that may go, at most. */
  @ParameterizedTest(name = "after {0} s, {1} mg/L a minute")
  @CsvSource({
    "120, 0.2, 0.2", "300, 0.2, 0.2", "600, 0.2, 0.2", "1200, 0.2, 0.2",
    "120, 0.5, 0.3", "300, 0.5, 0.2", "600, 0.5, 0.2", "1200, 0.5, 0.2",
    "120, 1.0, 0.3", "300, 1.0, 0.2", "600, 1.0, 0.2", "1200, 1.0, 0.2",
    "120, 3.0, 0.4", "300, 3.0, 0.4", "600, 3.0, 0.4", "1200, 3.0, 0.4"
  })
  void stop_withLittleTimeInHand_wakesInTime(double quietSeconds, double perMinute, double share) {
    double minutes = (LEVEL - 3.0) / perMinute;
    hear(quietSeconds, Line.NOT_MEASURED, t -> LEVEL);
    hear(60.0 * minutes, Line.NOT_MEASURED, t -> LEVEL - perMinute * t / 60.0);

    assertThat(minutesToHigh(quietSeconds)).isLessThan(share * minutes);
  }

  /**
   * What the hold rests on is part of what is saved: the minutes before and after count together.
   */
  @Test
  void restart_inTheMiddle_forgetsNothingThatWasHeard() {
    hear(1500, Line.NOT_MEASURED, t -> LEVEL);
    watch = FarmWatch.restore(SallowmereTanks.farm(SallowmereTanks.transport()), watch.snapshot());
    hear(600, Line.NOT_MEASURED, t -> LEVEL);
    hear(2400, Line.NOT_MEASURED, t -> LEVEL - SLOW * t / 60.0);

    assertThat(minutesToHigh(2100)).isLessThan(8.0);
  }

  /** The new one reads lower, so that it is the one that the alarm goes by. */
  @Test
  void newProbe_doesNotOverruleOneThatKnowsTheWater() {
    hear(7200, Line.NOT_MEASURED, t -> LEVEL);
    secondProbe = true;
    hear(600, Line.NOT_MEASURED, t -> LEVEL);
    hear(2400, Line.NOT_MEASURED, t -> LEVEL - SLOW * t / 60.0);

    assertThat(minutesToHigh(7800)).isLessThan(8.0);
  }

  @Test
  void newProbes_bothHoldInWaterThatNeitherKnows() {
    secondProbe = true;
    hear(600, Line.NOT_MEASURED, t -> LEVEL);
    hear(2400, Line.NOT_MEASURED, t -> LEVEL - SLOW * t / 60.0);

    assertThat(minutesToHigh(600)).isGreaterThan(8.0);
  }

  /** As in a power cut that takes the gateway with it. */
  @Test
  void silenceOfAll_lowersNothingThatAMeterHadSaid() {
    hear(600, Line.AS_USUAL, t -> LEVEL);
    hear(300, Line.PRESSURE_LOW, t -> LEVEL - SLOW * t / 60.0);
    assertThat(highest()).contains(Priority.HIGH);

    List<Priority> later = new ArrayList<>();
    for (int minute = 0; minute < 12; minute++) {
      second += 60.0;
      events.addAll(watch.tick(SallowmereTanks.at(second)));
      later.add(highest().orElseThrow());
    }

    assertThat(later).containsOnly(Priority.HIGH);
  }

  private Optional<Priority> highest() {
    return watch.standing().stream()
        .filter(a -> a.cause() == AlarmCause.GAS_NOT_REACHING_WATER)
        .map(a -> a.priority())
        .min(Comparator.naturalOrder());
  }

  private interface Course {
    double mgPerL(double seconds);
  }

  private void hear(double seconds, Line line, Course course) {
    for (double t = 0.0; t < seconds; t += 5.0) {
      if (line != Line.NOT_MEASURED) {
        send(Quantity.GAS_FLOW, line == Line.STOPPED ? 0.0 : line == Line.MORE_FLOW ? 3.2 : 2.5);
        send(Quantity.LINE_PRESSURE, line == Line.PRESSURE_LOW ? 0.18 : 0.4);
      }
      send(Quantity.TEMPERATURE, 12.0);
      double read = course.mgPerL(t) + 0.04 * random.nextGaussian();
      send(Quantity.OXYGEN, Math.round(100.0 * read) / 100.0);
      if (secondProbe) {
        double other = course.mgPerL(t) - 0.3 + 0.04 * random.nextGaussian();
        events.addAll(
            watch.accept(
                new Reading(TANK, Quantity.OXYGEN, "new", SallowmereTanks.at(second), other)));
      }
      second += 5.0;
    }
  }

  private void send(Quantity quantity, double value) {
    events.addAll(watch.accept(SallowmereTanks.reading(TANK, quantity, second, value)));
  }

  /** From the start of the fall to the first call of high priority. */
  private double minutesToHigh(double fromSecond) {
    Optional<AlarmEvent> high =
        events.stream().filter(e -> e.priority() == Priority.HIGH).findFirst();
    long at = Micros.of(high.orElseThrow().time());
    return Micros.seconds(at - Micros.of(SallowmereTanks.at(fromSecond))) / 60.0;
  }
}
