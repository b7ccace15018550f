// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import org.junit.jupiter.api.Test;

class ProbeHealthTest {

  private static final double INTERVAL = 5.0;

  private final FallDetector detector = new FallDetector();

  /** Of the water with air, mg/L. */
  private static final double SATURATION = 12.0;

  private final ProbeHealth health = new ProbeHealth();
  private final Random random = new Random(9);

  @Test
  void probe_thatStopsMoving_isStuckWithinAMinuteOrTwo() {
    quiet(500);
    repeat(25, 8.97);

    assertThat(health.doubt()).isEqualTo(ProbeDoubt.STUCK);
    feed(8.99, 12.0);
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.NONE);
  }

  @Test
  void coarseProbe_inStillWater_isNotStuck() {
    for (int i = 0; i < 2000; i++) {
      feed(Math.round(10.0 * (9.02 + 0.01 * random.nextGaussian())) / 10.0, 12.0);
      assertThat(health.doubt()).isEqualTo(ProbeDoubt.NONE);
    }
  }

  @Test
  void probe_thatNeverMoved_isNotCalledStuck() {
    repeat(2000, 9.0);

    assertThat(health.doubt()).isEqualTo(ProbeDoubt.NONE);
  }

  @Test
  void probe_thatReadsZeroAllAtOnce_isDoubted() {
    quiet(200);
    repeat(6, 0.0);

    assertThat(health.doubt()).isEqualTo(ProbeDoubt.READS_ZERO);
    assertThat(health.doubt().isBlind()).isTrue();
  }

  @Test
  void oxygenAndTemperature_thatStepTogether_areAProbeInAir() {
    quiet(200);
    for (int i = 0; i < 10; i++) {
      feed(10.9 + 0.05 * random.nextGaussian(), 5.0);
    }

    assertThat(health.doubt()).isEqualTo(ProbeDoubt.OUT_OF_WATER);
  }

  /**
   * The display of another level than before is no reason: the water may have changed meanwhile.
   */
  @Test
  void probe_backInTheWater_isTrustedAgain_byItsTemperature() {
    quiet(200);
    for (int i = 0; i < 20; i++) {
      feed(10.9 + 0.05 * random.nextGaussian(), 5.0);
    }
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.OUT_OF_WATER);

    for (int i = 0; i < 30; i++) {
      feed(9.6 + 0.3 * random.nextGaussian(), 12.1);
    }
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.NONE);
  }

  @Test
  void oneReadingOfAThermometerLaidBare_isNoProbeOutOfTheWater() {
    quiet(200);
    for (int i = 0; i < 3; i++) { // the thermometer speaks every third time
      feed(10.9 + 0.05 * random.nextGaussian(), 5.0);
    }
    quiet(20);

    assertThat(health.doubt()).isEqualTo(ProbeDoubt.NONE);
  }

  @Test
  void oxygenAlone_thatSteps_isAJump_andIsForgivenWhenItComesBack() {
    quiet(200);
    for (int i = 0; i < 20; i++) {
      feed(11.0 + 0.05 * random.nextGaussian(), 12.0);
    }
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.JUMPED);
    assertThat(health.believesFallTo(9.0)).isFalse();
    assertThat(health.believesFallTo(8.0)).isTrue();

    quiet(20);
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.NONE);
  }

  /** The air is about as warm as the water: too little for a probe in air, enough to look away. */
  @Test
  void jump_whileTheTemperatureMoves_isSeenOnceThatIsBelieved() {
    quiet(200);
    for (int i = 0; i < 20; i++) {
      feed(11.0 + 0.05 * random.nextGaussian(), 12.5);
    }

    assertThat(health.doubt()).isEqualTo(ProbeDoubt.JUMPED);
    assertThat(health.doubtWords()).contains("water changed, or the probe moved");
    assertThat(health.believesFallTo(9.0)).isFalse();
  }

  /**
   * From 9 to 10.2, of 12 that it would be in air: such water was changed, and nobody is called.
   */
  @Test
  void rise_partOfTheWayToSaturation_withTheTemperature_isChangedWater() {
    quiet(200);
    for (int i = 0; i < 20; i++) {
      feed(10.2 + 0.05 * random.nextGaussian(), 11.5);
    }

    assertThat(health.doubt()).isEqualTo(ProbeDoubt.WATER_CHANGED);
    assertThat(health.doubt().isTold()).isFalse();
    assertThat(health.believesFallTo(9.0)).as("what was gained is lost again").isFalse();
    assertThat(health.believesFallTo(8.0)).isTrue();
  }

  @Test
  void probe_thatWasOffItsLevel_maySettle_oneThatWasStuckDoesNot() {
    quiet(500);
    repeat(25, 8.97);
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.STUCK);
    quiet(5);
    assertThat(health.wasDisplacedOfLate()).isFalse();

    for (int i = 0; i < 20; i++) {
      feed(11.0 + 0.05 * random.nextGaussian(), 12.0);
    }
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.JUMPED);
    quiet(20);
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.NONE);
    assertThat(health.wasDisplacedOfLate()).isTrue();
  }

  /** Only while it is blind does the time run that an only probe may stay out of the water. */
  @Test
  void troubleThatRuns_isThatOfBeingBlind() {
    quiet(200);
    for (int glitch = 0; glitch < 8; glitch++) {
      feed(3.0, 12.0);
      quiet(20);
    }
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.JUMPING);
    assertThat(health.troubleSeconds()).isZero();

    for (int i = 0; i < 10; i++) {
      feed(10.9 + 0.05 * random.nextGaussian(), 5.0);
    }
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.OUT_OF_WATER);
    assertThat(health.troubleSeconds()).isBetween(1.0, 50.0);
  }

  @Test
  void loneGlitches_areForgiven_untilThereAreTooMany() {
    quiet(200);
    for (int glitch = 0; glitch < 4; glitch++) {
      feed(3.0, 12.0);
      quiet(20);
    }
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.NONE);

    for (int glitch = 0; glitch < 2; glitch++) {
      feed(3.0, 12.0);
      quiet(20);
    }
    assertThat(health.doubt()).isEqualTo(ProbeDoubt.JUMPING);
  }

  @Test
  void fastFall_isNoJump() {
    quiet(200);
    for (int i = 0; i < 60; i++) {
      feed(9.0 - 1.0 * i * INTERVAL / 60.0 + 0.05 * random.nextGaussian(), 12.0);
      assertThat(health.doubt()).as("reading %d", i).isEqualTo(ProbeDoubt.NONE);
    }
  }

  @Test
  void step_afterTheKeeperWasAtTheProbe_isNoWonder() {
    quiet(200);
    health.startAgain();
    for (int i = 0; i < 20; i++) {
      feed(10.0 + 0.05 * random.nextGaussian(), 12.0);
    }

    assertThat(health.doubt()).isEqualTo(ProbeDoubt.NONE);
  }

  private void quiet(int readings) {
    for (int i = 0; i < readings; i++) {
      feed(Math.round(100.0 * (9.0 + 0.05 * random.nextGaussian())) / 100.0, 12.0);
    }
  }

  private void repeat(int readings, double mgPerL) {
    for (int i = 0; i < readings; i++) {
      feed(mgPerL, 12.0);
    }
  }

  private void feed(double mgPerL, double temperatureC) {
    ProbeHealth.Disturbance disturbance =
        health.disturbance(INTERVAL, mgPerL, detector.level(), temperatureC, SATURATION, INTERVAL);
    if (disturbance == ProbeHealth.Disturbance.OVER) {
      detector.startAgain(mgPerL);
    }
    if (disturbance != ProbeHealth.Disturbance.NONE) {
      return;
    }
    detector.accept(INTERVAL, mgPerL, INTERVAL, temperatureC, health.makesSense());
    if (health.accept(INTERVAL, mgPerL, detector, temperatureC)) {
      detector.startAgain(mgPerL);
    }
  }
}
