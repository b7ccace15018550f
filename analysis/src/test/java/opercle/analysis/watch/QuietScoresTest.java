// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class QuietScoresTest {

  @Test
  void tankAsTheModelHasIt_asksForNoMoreEvidence() {
    assertThat(after(8.0, 0.0).scatter(640.0)).isEqualTo(1.0);
    assertThat(after(8.0, 0.0).scatter(10.0)).isEqualTo(1.0);
  }

  /** Oxygen that swings by a third of a milligram every ten minutes: no model of wander is that. */
  @Test
  void tankThatSwings_asksForMore() {
    assertThat(after(8.0, 0.35).scatter(160.0)).isGreaterThan(1.2);
  }

  @Test
  void restored_isTheSame() {
    QuietScores scores = after(2.0, 0.35);

    QuietScores restored = QuietScores.of(scores.seconds(), scores.squares());

    assertThat(restored.scatter(160.0)).isEqualTo(scores.scatter(160.0));
    assertThat(restored.seconds()).isEqualTo(scores.seconds());
  }

  /** A model that takes all wander for noise, over water that does or does not swing. */
  private static QuietScores after(double hours, double swing) {
    QuietScores scores = new QuietScores();
    QuietWater water = new QuietWater();
    Onsets onsets = new Onsets();
    Signals signal = new Signals(7, 5.0, 0.05, 30.0, 0.0);
    water.start(9.0, 0.05);
    onsets.start();
    while (signal.now() < 3600.0 * hours) {
      double mgPerL = signal.next() + swing * Math.sin(2.0 * Math.PI * signal.now() / 600.0);
      water.accept(5.0, mgPerL, 0.05, 1e-7);
      onsets.accept(5.0, water, 6.0);
      scores.accept(5.0, onsets);
    }
    return scores;
  }
}
