// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.probe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashSet;
import java.util.Objects;
import java.util.Set;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.simulator.physics.Chance;
import org.junit.jupiter.api.Test;

class SimulatedProbeTest {

  private static final Series OXYGEN = new Series("h1", Quantity.OXYGEN, "1");

  private static SimulatedProbe probe(double tau, double secondTau, double noiseSd) {
    ProbeTraits traits =
        new ProbeTraits(tau, secondTau, 0, 0.0, noiseSd, 0.001, 1.0, 0.0, 5.0, 0.02, 0.0, 1L);
    return new SimulatedProbe(OXYGEN, traits, 0L, new Chance(5));
  }

  private static double said(SimulatedProbe probe) {
    return Objects.requireNonNull(probe.speak()).value();
  }

  /**
   * The lagged ramp of the detection note: y = −r·(t − τ(1 − exp(−t/τ))), here with a second lag
   * too short to matter.
   */
  @Test
  void ramp_isFollowedByTheFirstOrderFormula() {
    double tau = 13.0;
    double perSecond = 1.0 / 60.0;
    SimulatedProbe probe = probe(tau, 1e-6, 0.0);
    probe.follow(1.0, 9.0, 12.0);

    for (int t = 1; t <= 120; t++) {
      probe.follow(1.0, 9.0 - perSecond * (t - 0.5), 12.0); // the middle of the step
      double expected = 9.0 - perSecond * (t - tau * (1.0 - Math.exp(-t / tau)));
      assertThat(said(probe)).as("after %s s", t).isCloseTo(expected, within(0.001));
    }
  }

  /** With a fall of 48 mg/L/h a T90 of 60 s lags 0.35 mg/L (sensor notes). */
  @Test
  void ramp_longAfter_lagsRateTimesTau() {
    SimulatedProbe probe = probe(60.0 / 2.303, 1e-6, 0.0);
    double truth = 20.0;
    for (int t = 0; t < 600; t++) {
      truth -= 48.0 / 3600.0;
      probe.follow(1.0, truth, 12.0);
    }

    assertThat(said(probe) - truth).isCloseTo(0.35, within(0.01));
  }

  @Test
  void step_t90_isReachedInT90() {
    SimulatedProbe probe = probe(30.0 / Math.log(10.0), 1e-6, 0.0);
    probe.follow(1.0, 10.0, 12.0);
    for (int t = 0; t < 30; t++) {
      probe.follow(1.0, 0.0, 12.0);
    }

    assertThat(said(probe)).isCloseTo(1.0, within(0.001));
  }

  @Test
  void cold_doublesTheLagEveryTwelveDegrees() {
    ProbeTraits traits =
        new ProbeTraits(10.0, 1.0, 0, 12.0, 0.0, 0.01, 1.0, 0.0, 5.0, 0.02, 0.0, 1L);

    assertThat(traits.tauAt(20.0)).isEqualTo(10.0);
    assertThat(traits.tauAt(8.0)).isCloseTo(20.0, within(1e-12));
  }

  @Test
  void noise_hasItsStandardDeviation() {
    SimulatedProbe probe = probe(10.0, 1.0, 0.05);
    probe.follow(1.0, 9.0, 12.0);
    double sum = 0.0;
    double squares = 0.0;
    int n = 20_000;
    for (int i = 0; i < n; i++) {
      double d = said(probe) - 9.0;
      sum += d;
      squares += d * d;
    }

    assertThat(sum / n).isCloseTo(0.0, within(0.0015)); // four standard errors
    assertThat(Math.sqrt(squares / n)).isCloseTo(0.05, within(0.001));
  }

  @Test
  void stuckProbe_repeatsToTheDigitWhileTheTruthMoves() {
    SimulatedProbe probe = probe(10.0, 1.0, 0.05);
    probe.follow(1.0, 9.0, 12.0);
    probe.speak();
    probe.trouble().stick();
    Set<Double> values = new HashSet<>();
    for (int i = 0; i < 50; i++) {
      probe.follow(5.0, 9.0 - i * 0.1, 12.0);
      values.add(said(probe));
    }

    assertThat(values).hasSize(1);
  }

  @Test
  void interval_isKeptWithinAFewPercentAndTimesRise() {
    SimulatedProbe probe = probe(10.0, 1.0, 0.05);
    probe.follow(1.0, 9.0, 12.0);
    Reading first = Objects.requireNonNull(probe.speak());
    Reading last = first;
    for (int i = 0; i < 1000; i++) {
      Reading next = Objects.requireNonNull(probe.speak());
      assertThat(next.time()).isAfter(last.time());
      last = next;
    }

    double seconds = (last.time().toEpochMilli() - first.time().toEpochMilli()) / 1000.0;
    assertThat(seconds / 1000.0).isCloseTo(5.0, within(0.02));
  }

  @Test
  void deadTime_nothingShowsBeforeTheWaterIsThere() {
    ProbeTraits traits =
        new ProbeTraits(1e-6, 1e-6, 12, 0.0, 0.0, 0.001, 1.0, 0.0, 5.0, 0.02, 0.0, 1L);
    SimulatedProbe probe = new SimulatedProbe(OXYGEN, traits, 0L, new Chance(5));
    probe.follow(1.0, 9.0, 12.0);
    for (int t = 1; t <= 12; t++) {
      probe.follow(1.0, 4.0, 12.0);
      assertThat(said(probe)).as("after %s s", t).isEqualTo(9.0);
    }

    probe.follow(1.0, 4.0, 12.0);

    assertThat(said(probe)).isEqualTo(4.0);
  }
}
