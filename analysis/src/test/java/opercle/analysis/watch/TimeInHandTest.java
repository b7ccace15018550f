// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Time in hand told while oxygen falls, against the floor's real hour. */
class TimeInHandTest {

  /**
   * Demand and surface exchange are not those that the outlook assumes, nor is the probe's lag. The
   * probe is off by its published accuracy (0.1 mg/L), and the fish are restless: a tenth, over a
   * quarter of an hour. A band that reckons with both would hold always, and this test tell
   * nothing, in a world where neither is so.
   */
  @ParameterizedTest(name = "{0} (mg/L)/min")
  @ValueSource(doubles = {0.1, 0.3})
  void band_holdsTheTruthAboutEightTimesInTen(double demandPerMinute) {
    int inside = 0;
    int told = 0;
    double likelyOverTrue = 0.0;
    for (int run = 0; run < 24; run++) {
      Random random = new Random(run);
      double surface = 0.3 * random.nextDouble() / 60.0;
      double lag = 5.0 + 20.0 * random.nextDouble();
      double noise = 0.03 + 0.04 * random.nextDouble();
      FarmWatch watch = new FarmWatch(SallowmereTanks.farm(SallowmereTanks.transport()));
      double offset = 0.1 * random.nextGaussian();
      double restless = 0.1 * random.nextGaussian();
      double oxygen = 8.8;
      double probe = oxygen;
      double[][] bands = new double[4000][];
      double floorAt = Double.NaN;
      for (int i = 0; Double.isNaN(floorAt); i++) {
        double t = 5.0 * i;
        double kept = Math.exp(-5.0 / 900.0);
        restless = kept * restless + 0.1 * Math.sqrt(1.0 - kept * kept) * random.nextGaussian();
        if (t > 5400.0) {
          oxygen -= (demandPerMinute * (1.0 + restless) - surface * (10.5 - oxygen)) * 5.0 / 60.0;
        }
        probe += -Math.expm1(-5.0 / lag) * (oxygen - probe);
        watch.accept(SallowmereTanks.reading("t1", Quantity.TEMPERATURE, t, 12.0));
        double value = Math.round(100.0 * (probe + offset + noise * random.nextGaussian())) / 100.0;
        watch.accept(SallowmereTanks.reading("t1", Quantity.OXYGEN, t, value));
        TankState state = watch.state("t1", SallowmereTanks.at(t));
        boolean alarmed = !state.alarms().isEmpty();
        if (alarmed && i % 6 == 0 && state.timeInHand() instanceof TimeInHand.Minutes m) {
          bands[i] = new double[] {m.minutes().low(), m.minutes().likely(), m.minutes().high()};
        }
        if (oxygen <= 3.0) {
          floorAt = t;
        }
      }
      for (int i = 0; i < bands.length; i++) {
        double truth = (floorAt - 5.0 * i) / 60.0;
        if (bands[i] != null && truth > 1.0) {
          told++;
          inside += bands[i][0] <= truth && truth <= bands[i][2] ? 1 : 0;
          likelyOverTrue += bands[i][1] / truth;
        }
      }
    }

    assertThat(told).isGreaterThan(200);
    assertThat(inside / (double) told).isBetween(0.7, 0.95);
    assertThat(likelyOverTrue / told).isBetween(0.9, 1.1);
  }

  @Test
  void quietTank_isHolding_allNight() {
    FarmWatch watch = new FarmWatch(SallowmereTanks.farm(SallowmereTanks.transport()));
    Signals signal = new Signals(3, 5.0, 0.05, 30.0, 0.05);
    int holding = 0;
    int asked = 0;
    while (signal.now() < 6.0 * 3600.0) {
      double mgPerL = signal.next();
      watch.accept(SallowmereTanks.reading("t1", Quantity.OXYGEN, signal.now(), mgPerL));
      if (signal.now() > 600.0) {
        asked++;
        TimeInHand time = watch.state("t1", SallowmereTanks.at(signal.now())).timeInHand();
        holding += time instanceof TimeInHand.Holding ? 1 : 0;
      }
    }

    assertThat(holding / (double) asked).isGreaterThan(0.97);
  }
}
