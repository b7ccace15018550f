// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.Band;
import opercle.analysis.ReferenceTable;
import org.junit.jupiter.api.Test;

/** Handling, food, ammonia and carbon dioxide against what was measured. */
class StressAndWasteTest {

  private static ReferenceTable.Row row(String table, String column, String startsWith) {
    return ReferenceTable.rows(table)
        .filter(r -> r.text(column).startsWith(startsWith))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void carefulHandling_hasThePeakAndTheFadingOfDavis() {
    String peak = row("stress_multipliers", "species", "coho").text("peak_multiplier");
    String[] ends = peak.split("-", -1);

    assertThat(HandlingStress.CAREFUL.peak().low())
        .isCloseTo(Double.parseDouble(ends[0]), within(0.02));
    assertThat(HandlingStress.CAREFUL.peak().likely())
        .isCloseTo(Double.parseDouble(ends[1]), within(0.03));
    // "mostly gone within 1 h; slightly raised for up to 2 h more"
    Band afterAnHour = HandlingStress.CAREFUL.multiplierAfter(1.0);
    assertThat(afterAnHour.likely() - 1.0).isBetween(0.0, 0.2);
    assertThat(HandlingStress.CAREFUL.multiplierAfter(3.0).likely()).isLessThan(1.01);
  }

  @Test
  void exhaustion_hasThePeakAndTheFadingOfSvendsen() {
    ReferenceTable.Row row = row("stress_multipliers", "species", "rainbow trout 138 g");
    double peak = Double.parseDouble(row.text("peak_multiplier").split(" ", -1)[0]);

    Band atOnce = HandlingStress.EXHAUSTED.multiplierAfter(0.0);
    assertThat(peak).isBetween(atOnce.likely(), atOnce.high());
    // back after 5.2 h: a tenth or so of the rise is left
    assertThat(HandlingStress.EXHAUSTED.multiplierAfter(5.2).likely()).isLessThan(1.15);
  }

  @Test
  void food_raisesOxygenAsMeasuredInPerch() {
    Band fed = Feeding.FED.oxygenMultiplier();

    assertThat(117.0 / 61.0).isBetween(fed.low(), fed.high());
    assertThat(249.3 / 135.0).isBetween(fed.low(), fed.high());
  }

  @Test
  void handling_beforeItHappened_isRefused() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> HandlingStress.CAREFUL.multiplierAfter(-0.1))
        .withMessageContaining("-0.1");
    assertThatIllegalArgumentException()
        .isThrownBy(
            () ->
                new HandlingStress(
                    new Band(0.5, 1.0, 2.0), Band.exactly(1.0), Evidence.derived("")))
        .withMessageContaining("peak");
  }

  @Property
  void handling_fades_andKeepsItsOrder(
      @ForAll @DoubleRange(min = 0.0, max = 24.0) double hours,
      @ForAll @DoubleRange(min = 0.0, max = 24.0) double later) {
    for (HandlingStress stress :
        new HandlingStress[] {
          HandlingStress.NONE, HandlingStress.CAREFUL, HandlingStress.EXHAUSTED
        }) {
      Band now = stress.multiplierAfter(hours);
      Band then = stress.multiplierAfter(hours + later);
      assertThat(then.likely()).isLessThanOrEqualTo(now.likely());
      assertThat(then.high()).isLessThanOrEqualTo(now.high());
      assertThat(now.low()).isGreaterThanOrEqualTo(1.0);
    }
  }

  /** Regression: the stoichiometric row, 60 mg O2/kg/h: 2.6–5.3 fasted, 5.3–7.9 fed. */
  @Test
  void ammonia_fromOxygen_matchesTheStoichiometricRow() {
    assertThat(row("tan_excretion", "fish", "any, from oxygen uptake").text("mg_N_kg_h"))
        .contains("at 60 mg O2/kg/h: 2.6-5.3 fasted, 5.3-7.9 fed");
    Band unfed = WasteOutput.tanMgPerMgOxygen(Feeding.UNFED).times(60.0);
    Band fed = WasteOutput.tanMgPerMgOxygen(Feeding.FED).times(60.0);

    assertThat(unfed.high()).isCloseTo(5.3, within(0.06));
    assertThat(fed.low()).isCloseTo(5.3, within(0.06));
    assertThat(fed.high()).isCloseTo(7.9, within(0.06));
  }

  /** Validation: trout unfed 2.9 mg N/kg/h; the temperature is not given, 10 °C is taken. */
  @Test
  void ammonia_ofUnfedTrout_holdsWhatWasMeasured() {
    double measured = row("tan_excretion", "condition", "fasted, ammonia-N").number("mg_N_kg_h");
    Band oxygen = OxygenDemand.routineMgPerKgPerHour(Species.RAINBOW_TROUT, 0.3, 10.0);
    Band perOxygen = WasteOutput.tanMgPerMgOxygen(Feeding.UNFED);

    assertThat(measured)
        .isBetween(perOxygen.low() * oxygen.low(), perOxygen.high() * oxygen.high());
    assertThat(perOxygen.low() * oxygen.likely()).isCloseTo(measured, within(0.6));
  }

  /** Validation: trout fed 12.1–12.9 mg N/kg/h. */
  @Test
  void ammonia_ofFedTrout_holdsWhatWasMeasured() {
    Band oxygen = OxygenDemand.routineMgPerKgPerHour(Species.RAINBOW_TROUT, 0.3, 10.0);
    Band times = Feeding.FED.oxygenMultiplier();
    Band perOxygen = WasteOutput.tanMgPerMgOxygen(Feeding.FED);

    assertThat(12.5)
        .isBetween(
            perOxygen.low() * oxygen.low() * times.low(),
            perOxygen.high() * oxygen.high() * times.high());
  }

  @Test
  void ammonia_ofUnfedCarpAtTenDegrees_isTwoToThree() {
    Band oxygen = OxygenDemand.routineMgPerKgPerHour(Species.COMMON_CARP, 1.0, 10.0);

    assertThat(WasteOutput.tanMgPerMgOxygen(Feeding.UNFED).likely() * oxygen.likely())
        .isBetween(2.0, 3.0);
  }

  @Test
  void carbonDioxide_isTheWorkedStoichiometry() {
    // 60 mg O2/kg/h, 100 kg in 900 L, RQ 0.85: 7.8 mg CO2/L an hour.
    assertThat(WasteOutput.carbonDioxideMgPerMgOxygen().likely() * 60.0 * 100.0 / 900.0)
        .isCloseTo(7.8, within(0.05));
  }
}
