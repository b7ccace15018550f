// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Delays against the best that any detector can do, from the detection notes, sections 3 and 4. */
class FallDetectorTest {

  private static final double T90 = 30.0;

  /** Best possible mean delay at 5 s and 1 s, noise 0.05 mg/L, T90 30 s, white noise. */
  @ParameterizedTest(name = "every {0} s, {1} (mg/L)/min: best {2} s")
  @CsvSource({
    "5, 0.2, 49, 1.3", "5, 0.5, 31, 1.3", "5, 1, 23, 1.3", "5, 3, 14.1, 1.35",
    "1, 0.2, 33, 1.3", "1, 0.5, 22, 1.3", "1, 1, 15.8, 1.3", "1, 3, 9.8, 1.3"
  })
  void fallInWhiteNoise_isFoundNearlyAsSoonAsCanBe(
      double interval, double rate, double best, double times) {
    assertThat(meanDelay(interval, 0.05, 0.0, rate, 3600.0, 40)).isLessThan(times * best);
  }

  /** The slowest of the table: what is paid for not taking slow wander for it. */
  @Test
  void slowFallInWhiteNoise_isFoundWithinOneAndAHalfTimesTheBest() {
    assertThat(meanDelay(5.0, 0.05, 0.0, 0.05, 7200.0, 40)).isLessThan(1.55 * 104.0);
  }

  /** Best possible with wander of that standard deviation, section 4. */
  @ParameterizedTest(name = "wander {0}, {1} (mg/L)/min: best {2} s")
  @CsvSource({
    "0.05, 0.2, 54", "0.05, 0.5, 33", "0.05, 1, 24",
    "0.15, 0.2, 67", "0.15, 0.5, 37", "0.15, 1, 25"
  })
  void fallInWanderingWater_isFoundWithinOneAndAHalfTimesTheBest(
      double wander, double rate, double best) {
    assertThat(meanDelay(5.0, 0.05, wander, rate, 7200.0, 30)).isLessThan(1.5 * best);
  }

  @ParameterizedTest(name = "wander {0}")
  @CsvSource({"0, 60, 1", "0.05, 60, 1", "0.15, 60, 2"})
  void quietNights_raiseNextToNothing(double wander, int nights, int most) {
    int found = 0;
    for (int night = 0; night < nights; night++) {
      Signals signal = new Signals(500 + night, 5.0, 0.05, T90, wander);
      FallDetector detector = new FallDetector();
      while (signal.now() < 12.0 * 3600.0) {
        double mgPerL = signal.next();
        detector.accept(5.0, mgPerL, 5.0, Double.NaN, true);
        if (detector.detects()) {
          found++;
          detector.startAgain(mgPerL);
        }
      }
    }

    assertThat(found).isLessThanOrEqualTo(most);
  }

  @Test
  void rate_whenFound_isTheFallsRate() {
    double sum = 0.0;
    int runs = 60;
    for (int run = 0; run < runs; run++) {
      FallDetector detector = new FallDetector();
      Signals signal = new Signals(run, 5.0, 0.05, T90, 0.0).fallingFrom(3600.0, 0.2);
      while (!detector.detects()) {
        detector.accept(5.0, signal.next(), 5.0, Double.NaN, true);
      }
      sum += 60.0 * detector.rate();
    }

    // Chance helps to find a fall, so that it looks somewhat faster when found.
    assertThat(sum / runs).isBetween(0.18, 0.28);
  }

  @Test
  void glitch_isNoFall_whateverItsSize() {
    Signals signal = new Signals(3, 5.0, 0.05, T90, 0.0);
    FallDetector detector = new FallDetector();
    for (int i = 0; i < 20_000; i++) {
      double mgPerL = signal.next();
      boolean glitch = i % 97 == 0;
      detector.accept(5.0, glitch ? (i % 2 == 0 ? 0.0 : 7.0) : mgPerL, 5.0, Double.NaN, true);
      assertThat(detector.detects()).as("reading %d", i).isFalse();
    }
    assertThat(detector.noise()).isLessThan(0.07);
  }

  @Test
  void suddenStep_isNoFall() {
    for (double step : new double[] {2.0, 3.0, 6.0}) {
      Signals signal = new Signals(4, 5.0, 0.05, T90, 0.0);
      FallDetector detector = new FallDetector();
      boolean found = false;
      for (int i = 0; i < 1200; i++) {
        double after = Math.max(0.0, (i - 1000) * 5.0);
        double mgPerL = signal.next() - step * -Math.expm1(-after / 13.0);
        detector.accept(5.0, mgPerL, 5.0, Double.NaN, true);
        found |= detector.detects();
        if (i > 1010 && detector.looksLikeStep(-1.0)) {
          break;
        }
      }
      assertThat(found).as("a step of %s mg/L", step).isFalse();
    }
  }

  @Test
  void detector_restoredInMidFall_findsItAtTheSameReading() {
    Signals signal = new Signals(5, 5.0, 0.05, T90, 0.05).fallingFrom(3600.0, 0.1);
    FallDetector through = new FallDetector();
    FallDetector restored = new FallDetector();
    while (!through.detects()) {
      double mgPerL = signal.next();
      through.accept(5.0, mgPerL, 5.0, 12.0, true);
      restored = FallDetector.of(restored.snapshot());
      restored.accept(5.0, mgPerL, 5.0, 12.0, true);
      assertThat(restored.detects()).isEqualTo(through.detects());
    }
    assertThat(restored.rate()).isCloseTo(through.rate(), within(0.0));
  }

  private static double meanDelay(
      double interval, double noise, double wander, double rate, double quiet, int runs) {
    double sum = 0.0;
    for (int run = 0; run < runs; run++) {
      Signals signal =
          new Signals(1000L * run, interval, noise, T90, wander).fallingFrom(quiet, rate);
      FallDetector detector = new FallDetector();
      boolean found = false;
      while (!found) {
        double mgPerL = signal.next();
        detector.accept(interval, mgPerL, interval, Double.NaN, true);
        if (detector.detects()) {
          found = signal.now() > signal.onset();
          if (!found) {
            detector.startAgain(mgPerL);
          }
        }
      }
      sum += signal.now() - signal.onset();
    }
    return sum / runs;
  }
}
