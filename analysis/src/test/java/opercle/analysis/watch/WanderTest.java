// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class WanderTest {

  @ParameterizedTest(name = "every {0} s, noise {1}, wander {2}")
  @CsvSource({"1, 0.02, 0.05", "5, 0.05, 0.05", "5, 0.05, 0.15", "30, 0.1, 0.15"})
  void noiseAndWander_areLearnedFromQuietHours(double interval, double noise, double wander) {
    double sumNoise = 0.0;
    double sumLog = 0.0;
    int tanks = 8;
    for (int tank = 0; tank < tanks; tank++) {
      Wander learned = learn(new Signals(tank, interval, noise, 30.0, wander), interval, 6.0);
      sumNoise += learned.noise();
      sumLog += Math.log(learned.variancePerSecond());
    }

    // An Ornstein–Uhlenbeck process gains variance 2 s²/τ per second at first; ours errs upwards.
    double truth = 2.0 * wander * wander / 3600.0;
    assertThat(sumNoise / tanks).isCloseTo(noise, within(0.05 * noise));
    assertThat(Math.exp(sumLog / tanks)).isBetween(0.8 * truth, 2.5 * truth);
  }

  @Test
  void stillTank_isFoundStill() {
    Wander learned = learn(new Signals(1, 5.0, 0.05, 30.0, 0.0), 5.0, 6.0);

    // Less than 0.02 mg/L gained in an hour.
    assertThat(Math.sqrt(3600.0 * learned.variancePerSecond())).isLessThan(0.02);
  }

  private static Wander learn(Signals signal, double interval, double hours) {
    Wander learned = new Wander();
    while (signal.now() < hours * 3600.0) {
      learned.accept(interval, signal.next());
    }
    return learned;
  }
}
