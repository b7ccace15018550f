// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvFileSource;

class PlainRuleTest {

  private static final Instant START = Instant.parse("2026-03-14T00:00:00Z");

  private static PlainRule rule(Detector detector) {
    Tank.Supply supply =
        new Tank.Supply(
            Tank.Gas.AIR, Tank.Source.BLOWER, Tank.Diffuser.POROUS_HOSE, 40.0, Optional.empty());
    Tank tank =
        new Tank(
            "h1", "Holding 1", Tank.Kind.HOLDING, 1500.0, 0.8, supply, List.of(), Optional.empty());
    return PlainRule.all(tank).stream()
        .filter(r -> r.detector() == detector)
        .findFirst()
        .orElseThrow();
  }

  private static boolean take(PlainRule rule, Quantity quantity, double seconds, double value) {
    Instant at = START.plusMillis(Math.round(1000.0 * seconds));
    return rule.accept(new Reading("h1", quantity, "1", at, value), at);
  }

  /** Against the independent simulation of the detection theory note; 5 % and half a second. */
  @ParameterizedTest
  @CsvFileSource(resources = "plain-rule-delay.csv", numLinesToSkip = 4)
  void straightFall_meanDelay_isThatOfTheTable(
      double interval, double t90, double fall, double belowSix, @Nullable Double fellHalf) {
    assertThat(meanDelay(Detector.BELOW_SIX, interval, t90, fall))
        .isCloseTo(belowSix, within(0.5 + 0.05 * belowSix));
    if (fellHalf != null) {
      assertThat(meanDelay(Detector.FELL_HALF, interval, t90, fall))
          .isCloseTo(fellHalf, within(0.5 + 0.05 * fellHalf));
    }
  }

  private static double meanDelay(Detector detector, double interval, double t90, double fall) {
    Random random = new Random(17);
    double tau = t90 / Math.log(10.0);
    int runs = 300;
    double sum = 0.0;
    for (int run = 0; run < runs; run++) {
      PlainRule rule = rule(detector);
      double t = -400.0 + interval * random.nextDouble();
      while (true) {
        double shown = t < 0.0 ? 0.0 : fall / 60.0 * (t + tau * Math.expm1(-t / tau));
        double oxygen = Math.rint(100.0 * (9.0 - shown + 0.05 * random.nextGaussian())) / 100.0;
        if (take(rule, Quantity.OXYGEN, 400.0 + t, oxygen) && t >= 0.0) {
          break;
        }
        t += interval;
      }
      sum += t;
    }
    return sum / runs;
  }

  @Test
  void fell_slowerThanAHalfInFiveMinutes_neverCalls() {
    PlainRule rule = rule(Detector.FELL_HALF);

    for (int s = 0; s < 3600; s += 5) {
      assertThat(take(rule, Quantity.OXYGEN, s, 9.0 - 0.09 * s / 60.0)).isFalse();
    }
  }

  @Test
  void meter_oneGlitch_doesNotCall_twoOfThreeDo() {
    PlainRule rule = rule(Detector.METER_ONLY);

    assertThat(take(rule, Quantity.GAS_FLOW, 0, 40.0)).isFalse();
    assertThat(take(rule, Quantity.GAS_FLOW, 5, 0.0)).isFalse();
    assertThat(take(rule, Quantity.GAS_FLOW, 10, 40.0)).isFalse();
    assertThat(take(rule, Quantity.GAS_FLOW, 15, 19.9)).isTrue();
  }

  @Test
  void standingCondition_callsOnce_andAgainAfterTwoMinutesWithout() {
    PlainRule rule = rule(Detector.BELOW_SIX);

    assertThat(take(rule, Quantity.OXYGEN, 0, 5.9)).isTrue();
    assertThat(take(rule, Quantity.OXYGEN, 5, 5.8)).isFalse();
    assertThat(take(rule, Quantity.OXYGEN, 60, 6.1)).isFalse();
    assertThat(take(rule, Quantity.OXYGEN, 100, 5.9)).isFalse();
    assertThat(take(rule, Quantity.OXYGEN, 220, 5.9)).isTrue();
  }

  @Test
  void otherQuantities_areNothingToTheRules() {
    for (Detector d : List.of(Detector.BELOW_SIX, Detector.FELL_HALF, Detector.METER_ONLY)) {
      assertThat(take(rule(d), Quantity.TEMPERATURE, 0, 1.0)).isFalse();
    }
  }
}
