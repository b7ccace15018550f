// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import opercle.analysis.farm.Tank;
import opercle.analysis.watch.Diagnosis.Cause;
import opercle.analysis.watch.Diagnosis.Evidence;
import opercle.analysis.watch.Diagnosis.Flow;
import opercle.analysis.watch.Diagnosis.Pressure;
import opercle.analysis.watch.Diagnosis.Suspect;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class DiagnosisTest {

  /** The worked example of the detection notes, section 6, with our priors: 467 to 1 there. */
  @Test
  void pressureLowAndBothFall_isASplitNotASurge() {
    Diagnosis d =
        of(
            new Evidence(
                Flow.NORMAL, Pressure.LOW, 1, 1, false, false, false, Double.NaN, 0.0, 0.0));

    double odds = probability(d, Cause.SPLIT_AFTER_METER) / probability(d, Cause.SURGE);
    assertThat(odds).isCloseTo(467.0 * 0.15 / 2.0, within(2.0));
    assertThat(d.suspects().get(0).cause()).isEqualTo(Cause.SPLIT_AFTER_METER);
  }

  @Test
  void feedLogged_withPressureNormal_isASurge() {
    Diagnosis d =
        of(
            new Evidence(
                Flow.NORMAL, Pressure.NORMAL, 1, 1, false, true, false, Double.NaN, 0.0, 0.0));

    assertThat(d.suspects().get(0).cause()).isEqualTo(Cause.SURGE);
    assertThat(d.supplyLost()).isLessThan(Diagnosis.LOST);
  }

  @Test
  void pressureHigh_isABlockedDiffuser() {
    Diagnosis d =
        of(new Evidence(Flow.LOW, Pressure.HIGH, 0, 0, false, false, false, 1.0, 0.2, 0.5));

    assertThat(d.suspects().get(0).cause()).isEqualTo(Cause.DIFFUSER_BLOCKED);
  }

  @Test
  void otherProbeSteady_isABadProbe() {
    Diagnosis d =
        of(new Evidence(Flow.NORMAL, Pressure.NORMAL, 1, 0, false, false, false, 0.1, 0.2, 0.5));

    assertThat(d.suspects().get(0).cause()).isEqualTo(Cause.PROBE_BAD);
  }

  @Test
  void fallAtTheDemand_nothingElseMeasured_isALostSupply() {
    Diagnosis d = of(alone(1.0));

    assertThat(d.supplyLost()).isGreaterThan(0.9);
    assertThat(of(alone(0.33)).supplyLost()).isLessThan(d.supplyLost());
  }

  @Test
  void tankWithoutAMeter_isNeverToldOnWhichSideOfIt() {
    Diagnosis d = of(alone(1.0));

    assertThat(d.suspects())
        .extracting(s -> s.cause().words())
        .contains("hose split or off")
        .noneMatch(words -> words.contains("meter"));
    assertThat(Diagnosis.action(Cause.HOSE_SPLIT).sentence()).doesNotContain("meter");
  }

  @ParameterizedTest
  @EnumSource(Tank.Source.class)
  void suspects_addUpToOne_andFitTheSource(Tank.Source source) {
    Diagnosis d = Diagnosis.of(alone(1.0), source);

    assertThat(d.suspects().stream().mapToDouble(Suspect::probability).sum())
        .isCloseTo(1.0, within(1e-9));
    assertThat(d.suspects())
        .extracting(Suspect::cause)
        .doesNotContain(source == Tank.Source.BLOWER ? Cause.CYLINDER_EMPTY : Cause.BLOWER_FAILED);
    assertThat(d.suspects())
        .isSortedAccordingTo((a, b) -> Double.compare(b.probability(), a.probability()));
  }

  /** Feeding and handling are over after a milligram or so; a lost supply is not. */
  @Test
  void fall_thatGoesOnAndOn_isALostSupply_thoughSlowerThanTheDemand() {
    Diagnosis shallow = of(alone(0.4, 0.3));
    Diagnosis deep = of(alone(0.4, 3.0));

    assertThat(shallow.supplyLost()).isLessThan(Diagnosis.LIKELIEST);
    assertThat(deep.supplyLost()).isGreaterThan(Diagnosis.LIKELIEST);
  }

  private static Evidence alone(double rateOverDemand, double dropMgPerL) {
    return new Evidence(
        Flow.NOT_MEASURED,
        Pressure.NOT_MEASURED,
        0,
        0,
        false,
        false,
        false,
        rateOverDemand,
        0.2,
        dropMgPerL);
  }

  private static Evidence alone(double rateOverDemand) {
    return new Evidence(
        Flow.NOT_MEASURED,
        Pressure.NOT_MEASURED,
        0,
        0,
        false,
        false,
        false,
        rateOverDemand,
        0.2,
        0.5);
  }

  private static Diagnosis of(Evidence evidence) {
    return Diagnosis.of(evidence, Tank.Source.CYLINDER);
  }

  private static double probability(Diagnosis d, Cause cause) {
    return d.suspects().stream()
        .filter(s -> s.cause() == cause)
        .mapToDouble(Suspect::probability)
        .findFirst()
        .orElseThrow();
  }
}
