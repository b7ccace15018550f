// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.Priority;
import opercle.analysis.water.BensonKrause1984;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

/**
 * No channel that lies may settle that a fall is none. The series are made here: straight lines
 * with white noise.
 */
class LyingChannelTest {

  private static final double STOP = 9000.0;
  private static final double RATE_PER_SECOND = 0.25 / 60.0;

  private final FarmWatch watch = new FarmWatch(SallowmereTanks.farm(SallowmereTanks.transport()));
  private final Random random = new Random(4);
  private final List<AlarmEvent> events = new ArrayList<>();
  private double cylinderBar = Double.NaN;

  private static double falling(double second) {
    return 9.5 - Math.max(0.0, second - STOP) * RATE_PER_SECOND;
  }

  /** Its membrane is torn: the noise goes on, and nothing tells that it is blind. */
  @Test
  void levelProbe_delaysTheAlarm_byMinutesAtMost() {
    run(STOP + 360.0, LyingChannelTest::falling, s -> 9.4, s -> 12.0);

    assertThat(firstHighAfter(STOP)).isLessThan(240.0);
  }

  /** How long the cylinder lasts depends on the fall, and the fall's cause on the time there is. */
  @Test
  void levelProbe_besideACylinderThatLasts_delaysTheAlarm_byMinutesAtMost() {
    cylinderBar = 150.0;
    run(STOP + 360.0, LyingChannelTest::falling, s -> 9.4, s -> 12.0);

    assertThat(firstHighAfter(STOP)).isLessThan(240.0);
  }

  /** The one that lies is the lower, and so speaks for the tank: the other's fall counts. */
  @Test
  void levelProbe_thatReadsLower_delaysTheAlarm_byMinutesAtMost() {
    run(STOP + 360.0, LyingChannelTest::falling, s -> 8.9, s -> 12.0);

    assertThat(firstHighAfter(STOP)).isLessThan(240.0);
  }

  @Test
  void probeThatWasSuspectTheLastHours_delaysNothing() {
    run(
        STOP + 240.0,
        LyingChannelTest::falling,
        s -> s > 3000.0 && s < 3600.0 ? 0.0 : 9.4,
        s -> 12.0);

    assertThat(firstHighAfter(STOP)).isLessThan(120.0);
  }

  @Test
  void unpluggedThermometer_beside_aProbeThatMeasuresPercent_delaysNothing() {
    double saturation = new BensonKrause1984().saturationMgPerL(12.0, 0.0, 101.325);
    runPercent(
        STOP + 240.0, s -> 100.0 * falling(s) / saturation, s -> s < STOP - 1800.0 ? 12.0 : 0.0);

    assertThat(events)
        .filteredOn(e -> e.cause() == AlarmCause.PROBE_SUSPECT)
        .allSatisfy(e -> assertThat(e.priority()).isEqualTo(Priority.MEDIUM))
        .anySatisfy(
            e ->
                assertThat(e.message())
                    .contains("temperature probe 1 jumped further than water can"));
    assertThat(firstHighAfter(STOP)).isLessThan(120.0);
  }

  /** Fish do not breathe so fast; a bubble that leaves the probe looks like it. */
  @Test
  void fallFasterThanFishBreathe_isGivenAMinute_andNoMore() {
    double perSecond = 1.6 / 60.0;
    runAlone(STOP + 40.0, s -> 9.5 - Math.max(0.0, s - STOP) * perSecond);
    assertThat(events).extracting(AlarmEvent::priority).doesNotContain(Priority.HIGH);
    assertThat(events).as("it is told").isNotEmpty();

    runAloneFrom(STOP + 40.0, STOP + 100.0, s -> 9.5 - Math.max(0.0, s - STOP) * perSecond);
    assertThat(firstHighAfter(STOP)).isLessThan(90.0);
  }

  private void runAlone(double end, DoubleUnaryOperator oxygen) {
    runAloneFrom(0.0, end, oxygen);
  }

  private void runAloneFrom(double start, double end, DoubleUnaryOperator oxygen) {
    for (double s = start; s < end; s += 5.0) {
      temperature(s, t -> 12.0);
      take(Quantity.OXYGEN, "1", s + 0.2, oxygen.applyAsDouble(s) + 0.02 * random.nextGaussian());
    }
  }

  private void run(
      double end, DoubleUnaryOperator one, DoubleUnaryOperator other, DoubleUnaryOperator celsius) {
    for (double s = 0.0; s < end; s += 5.0) {
      temperature(s, celsius);
      if (!Double.isNaN(cylinderBar)) {
        take(Quantity.CYLINDER_PRESSURE, Reading.DEFAULT_PROBE, s + 0.1, cylinderBar - s / 3600.0);
      }
      take(Quantity.OXYGEN, "1", s + 0.2, one.applyAsDouble(s) + 0.02 * random.nextGaussian());
      double level = other.applyAsDouble(s);
      double shown = level == 0.0 ? 0.0 : level + 0.02 * random.nextGaussian();
      take(Quantity.OXYGEN, "2", s + 0.4, shown);
    }
  }

  private void runPercent(double end, DoubleUnaryOperator percent, DoubleUnaryOperator celsius) {
    for (double s = 0.0; s < end; s += 5.0) {
      temperature(s, celsius);
      double shown = percent.applyAsDouble(s) + 0.2 * random.nextGaussian();
      take(Quantity.OXYGEN_SATURATION, "1", s + 0.2, shown);
    }
  }

  private void temperature(double s, DoubleUnaryOperator celsius) {
    take(Quantity.TEMPERATURE, Reading.DEFAULT_PROBE, s, celsius.applyAsDouble(s));
  }

  private void take(Quantity quantity, String probe, double s, double value) {
    double rounded = Math.round(100.0 * value) / 100.0;
    events.addAll(watch.accept(new Reading("t1", quantity, probe, SallowmereTanks.at(s), rounded)));
  }

  private double firstHighAfter(double second) {
    return events.stream()
        .filter(e -> e.priority() == Priority.HIGH && e.cause() != AlarmCause.PROBE_SUSPECT)
        .mapToDouble(
            e -> Duration.between(SallowmereTanks.at(second), e.time()).toMillis() / 1000.0)
        .filter(late -> late >= 0.0)
        .findFirst()
        .orElse(Double.POSITIVE_INFINITY);
  }
}
