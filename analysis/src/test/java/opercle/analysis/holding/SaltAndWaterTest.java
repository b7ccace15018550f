// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.OptionalDouble;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.ReferenceTable;
import opercle.analysis.records.TankEntry.TopUp.Lost;
import org.junit.jupiter.api.Test;

/** Salt against the table of published doses, and dilution against the balance of mass. */
class SaltAndWaterTest {

  private static final double SEA_LEVEL_KPA = 101.325;

  private static String published(String use, String column) {
    return ReferenceTable.rows("salt_dosing")
        .filter(r -> r.text("use").startsWith(use))
        .findFirst()
        .orElseThrow()
        .text(column);
  }

  @Test
  void everyUse_hasTheStrengthsThatWerePublished() {
    assertStrengths(SaltDose.Use.HOLDING, "holding / transport");
    assertStrengths(SaltDose.Use.RECOVERY, "recovery after strong bath");
    assertStrengths(SaltDose.Use.NEAR_PLASMA, "transport, near plasma");
  }

  private static void assertStrengths(SaltDose.Use use, String row) {
    String[] ends = published(row, "strength").split("-", -1);
    assertThat(use.leastGPerL()).isEqualTo(Double.parseDouble(ends[0]));
    assertThat(use.mostGPerL()).isEqualTo(Double.parseDouble(ends[1]));
  }

  @Test
  void twoGramsALitre_inFifteenHundredLitres_isThreeKilograms() {
    SaltDose dose = SaltDose.of(1500.0, 0.0, 2.0, 10.0, SEA_LEVEL_KPA);

    assertThat(dose.kg()).isCloseTo(3.0, within(1e-9));
    assertThat(dose.use()).contains(SaltDose.Use.HOLDING);
  }

  @Test
  void threeGramsALitre_takeTheSaturationFrom1129To1108() {
    // 10 °C at one atmosphere: the pair of the reference's notes, to two decimals.
    SaltDose dose = SaltDose.of(1000.0, 0.0, 3.0, 10.0, SEA_LEVEL_KPA);

    assertThat(dose.saturationBeforeMgPerL()).isCloseTo(11.29, within(0.005));
    assertThat(dose.saturationAfterMgPerL()).isCloseTo(11.08, within(0.01));
  }

  @Test
  void aGramALitre_takesSixThousandthsOfTheOxygen() {
    for (double celsius : new double[] {10.0, 20.0}) {
      SaltDose dose = SaltDose.of(1000.0, 0.0, 1.0, celsius, SEA_LEVEL_KPA);
      double lost = 1.0 - dose.saturationAfterMgPerL() / dose.saturationBeforeMgPerL();
      assertThat(100.0 * lost).isCloseTo(0.6, within(0.05)); // salt_dosing.csv, caution
    }
    assertThat(published("caution: DO saturation", "strength")).startsWith("-0.6 %");
  }

  @Test
  void aConductivityProbe_seesTheDoseAsWasWrittenDown() {
    assertThat(published("caution: conductivity", "strength"))
        .startsWith("about 1.9 mS/cm per g/L");
    assertThat(SaltDose.of(1000.0, 1.0, 3.0, 10.0, SEA_LEVEL_KPA).conductivityStepMSPerCm())
        .isCloseTo(3.8, within(1e-9));
  }

  @Test
  void aStrongDose_tellsOfCarpAndLowOxygen() {
    assertThat(SaltDose.mind(10.0)).contains("De Boeck").contains("vet");
    assertThat(SaltDose.mind(2.0)).doesNotContain("De Boeck").contains("vet");
  }

  @Test
  void moreSaltThanTheSea_isRefusedByNameAndUnit() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> SaltDose.of(1000.0, 0.0, 36.0, 10.0, SEA_LEVEL_KPA))
        .withMessageContaining("salt")
        .withMessageContaining("g/L");
  }

  @Property
  void changingWhatWasReckoned_comesOutAtTheTarget(
      @ForAll @DoubleRange(min = 1.0, max = 50.0) double now,
      @ForAll @DoubleRange(min = 0.1, max = 0.99) double share,
      @ForAll @DoubleRange(min = 10.0, max = 100_000.0) double waterLitres) {
    double target = share * now;
    OptionalDouble litres = WaterExchange.litresToReach(now, target, 0.0, waterLitres);

    assertThat(WaterExchange.after(now, 0.0, litres.orElseThrow(), waterLitres))
        .isCloseTo(target, within(1e-9 * now));
  }

  @Test
  void toppingUpWhatEvaporated_bringsTheStrengthBack_withoutSalt() {
    TopUp topUp = TopUp.of(1000.0, 200.0, Lost.EVAPORATED, 2.0, false, OptionalDouble.empty());

    assertThat(topUp.nowGPerL()).isCloseTo(2.5, within(1e-9)); // 2 kg in 800 L
    assertThat(topUp.afterGPerL()).isCloseTo(2.0, within(1e-9));
    assertThat(topUp.saltKg()).isZero();
    assertThat(topUp.changeLitres()).isZero();
  }

  @Test
  void toppingUpWhatRanOut_needsItsSaltAgain() {
    TopUp topUp = TopUp.of(1000.0, 200.0, Lost.RAN_OUT, 2.0, false, OptionalDouble.empty());

    assertThat(topUp.nowGPerL()).isCloseTo(2.0, within(1e-9));
    assertThat(topUp.afterGPerL()).isCloseTo(1.6, within(1e-9));
    assertThat(topUp.saltKg()).isCloseTo(0.4, within(1e-9)); // 200 L at 2 g/L
  }

  @Test
  void saltThatAProbeReads_isThatOfTheLowWater_whereverTheRestWent() {
    for (Lost lost : Lost.values()) {
      TopUp topUp = TopUp.of(1000.0, 200.0, lost, 2.5, true, OptionalDouble.of(1.0));
      assertThat(topUp.afterGPerL()).isCloseTo(2.0, within(1e-9));
      assertThat(topUp.changeLitres()).isCloseTo(500.0, within(1e-9)); // 2 g/L to 1
    }
  }

  @Property
  void saltThatIsPutInWithATopUp_makesTheTarget(
      @ForAll Lost lost,
      @ForAll @DoubleRange(min = 0.0, max = 5.0) double salt,
      @ForAll @DoubleRange(min = 0.01, max = 0.5) double share,
      @ForAll @DoubleRange(min = 0.0, max = 10.0) double target) {
    TopUp topUp = TopUp.of(1500.0, share * 1500.0, lost, salt, false, OptionalDouble.of(target));
    double full =
        WaterExchange.after(topUp.afterGPerL(), 0.0, topUp.changeLitres(), 1500.0)
            + 1000.0 * topUp.saltKg() / 1500.0;

    assertThat(full).isCloseTo(target, within(1e-9));
  }

  @Test
  void moreThanHalfOfATank_isNoTopUp() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TopUp.of(1000.0, 501.0, Lost.RAN_OUT, 0.0, false, OptionalDouble.empty()))
        .withMessageContaining("missing");
  }

  @Test
  void waterThatIsNoBetter_cannotDiluteToTheTarget() {
    assertThat(WaterExchange.litresToReach(5.0, 1.0, 2.0, 1000.0)).isEmpty();
    assertThat(WaterExchange.litresToReach(0.5, 1.0, 2.0, 1000.0)).hasValue(0.0);
  }

  @Test
  void runningThrough_endsWhereGivenOffAndCarriedAwayAreEven() {
    // 2 mg/L/h into 1000 L with 500 L/h through: 4 mg/L in the end; half-way after ln 2 turnovers.
    assertThat(WaterExchange.running(0.0, 2.0, 500.0, 1000.0, 1000.0)).isCloseTo(4.0, within(1e-9));
    assertThat(WaterExchange.running(0.0, 2.0, 500.0, 1000.0, 2.0 * Math.log(2.0)))
        .isCloseTo(2.0, within(1e-9));
    assertThat(WaterExchange.running(1.0, 2.0, 0.0, 1000.0, 3.0)).isCloseTo(7.0, within(1e-9));
  }
}
