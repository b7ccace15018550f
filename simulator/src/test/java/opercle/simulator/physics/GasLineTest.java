// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Optional;
import opercle.analysis.farm.Tank;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class GasLineTest {

  private static GasLine line(Tank.Diffuser diffuser) {
    Tank.Supply supply =
        new Tank.Supply(Tank.Gas.OXYGEN, Tank.Source.CYLINDER, diffuser, 2.0, Optional.empty());
    GasLine line = new GasLine(supply, 0.7);
    run(line, 30, 1.0);
    return line;
  }

  private static void run(GasLine line, int seconds, double pressureShare) {
    for (int i = 0; i < seconds; i++) {
      line.step(1.0, line.setPressureBar() * pressureShare);
    }
  }

  @ParameterizedTest
  @EnumSource(Tank.Diffuser.class)
  void healthyLine_letsThroughWhatIsSet(Tank.Diffuser diffuser) {
    GasLine line = line(diffuser);

    assertThat(line.meterLPerMin()).isCloseTo(2.0, within(1e-6));
    assertThat(line.diffuserLPerMin()).isCloseTo(2.0, within(1e-6));
  }

  @ParameterizedTest
  @EnumSource(Tank.Diffuser.class)
  void splitAfterMeter_flowUpPressureDownNothingArrives(Tank.Diffuser diffuser) {
    GasLine line = line(diffuser);
    double before = line.lineBar();

    line.splitAfterMeter(1.0);
    run(line, 20, 1.0);

    assertThat(line.meterLPerMin()).isGreaterThan(2.0);
    assertThat(line.lineBar()).isLessThan(0.2 * before);
    assertThat(line.diffuserLPerMin()).isZero();
  }

  @Test
  void splitBeforeMeter_flowAndPressureGo() {
    GasLine line = line(Tank.Diffuser.CERAMIC);

    line.splitBeforeMeter(1.0);
    run(line, 30, 1.0);

    assertThat(line.meterLPerMin()).isZero();
    assertThat(line.lineBar()).isLessThan(0.05);
    assertThat(line.diffuserLPerMin()).isZero();
  }

  @Test
  void blockedDiffuser_flowDownPressureUpToTheRegulators() {
    GasLine line = line(Tank.Diffuser.CERAMIC);

    line.block(1.0);
    run(line, 60, 1.0);

    assertThat(line.meterLPerMin()).isLessThan(0.01);
    assertThat(line.lineBar()).isCloseTo(line.setPressureBar(), within(0.01));
  }

  @Test
  void valveShut_flowGoesWithinASample() {
    GasLine line = line(Tank.Diffuser.CERAMIC);

    line.turnValve(0.0);
    run(line, 1, 1.0);

    assertThat(line.meterLPerMin()).isZero();
    run(line, 30, 1.0);
    assertThat(line.diffuserLPerMin()).isLessThan(0.02);
  }

  @Test
  void anyState_gasThatPassesTheMeterIsNeverLessThanWhatArrives() {
    for (double split : new double[] {0.0, 0.2, 0.7}) {
      for (double blocked : new double[] {0.0, 0.5, 0.95}) {
        GasLine line = line(Tank.Diffuser.POROUS_HOSE);
        line.splitAfterMeter(split);
        line.block(blocked);
        run(line, 200, 1.0);

        assertThat(line.diffuserLPerMin()).isLessThanOrEqualTo(line.meterLPerMin() + 1e-6);
      }
    }
  }
}
