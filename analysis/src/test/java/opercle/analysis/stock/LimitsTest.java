// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.Band;
import opercle.analysis.ReferenceTable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class LimitsTest {

  private static final Map<String, Species> BY_SCIENTIFIC_NAME =
      Map.of(
          "Cyprinus carpio", Species.COMMON_CARP,
          "Carassius carassius", Species.CRUCIAN_CARP,
          "Perca fluviatilis", Species.PERCH,
          "Oncorhynchus mykiss", Species.RAINBOW_TROUT);

  /** Validation: every critical level measured at rest in fresh water is in the species' band. */
  @Test
  void restingCritical_holdsEveryMeasurement() {
    assertThat(
            ReferenceTable.rows("fish_critical_oxygen")
                .filter(r -> !r.text("what").contains("NaCl"))
                .filter(
                    r -> !r.text("what").toLowerCase(java.util.Locale.ROOT).contains("routine")))
        .hasSizeGreaterThanOrEqualTo(20)
        .allSatisfy(
            row -> {
              Species species = BY_SCIENTIFIC_NAME.get(row.text("species"));
              assertThat(species).isNotNull();
              Band band = OxygenLimits.restingCriticalMgPerL(species).value();
              assertThat(row.number("pcrit_mg_L")).isBetween(band.low(), band.high());
            });
  }

  @ParameterizedTest
  @EnumSource
  void floors_standInOrder(Species species) {
    assertThat(OxygenLimits.criticalFloorMgPerL(species).value().likely())
        .isGreaterThan(OxygenLimits.restingCriticalMgPerL(species).value().likely())
        .isLessThan(species.keepFloorMgPerL());
    assertThat(OxygenLimits.comfortMgPerL(species).value().likely())
        .isGreaterThanOrEqualTo(species.keepFloorMgPerL());
  }

  @ParameterizedTest
  @EnumSource(names = {"TENCH", "BREAM", "ROACH", "RUDD", "PIKE", "BROWN_TROUT"})
  void restingCritical_notFound_saysWhatItIsTakenAs(Species species) {
    assertThat(OxygenLimits.restingCriticalMgPerL(species).evidence().source())
        .contains("taken as")
        .contains("no published value");
  }

  @ParameterizedTest
  @EnumSource
  void temperatures_standInOrder(Species species) {
    double best = TemperatureLimits.bestForTransportC(species).value().high();
    double care = TemperatureLimits.careAboveC(species).value().likely();
    double stop = TemperatureLimits.stopAboveC(species).value().likely();

    assertThat(best).isLessThan(care);
    assertThat(care).isLessThan(stop);
    assertThat(stop).isLessThan(TemperatureLimits.upperLethalC(species).value().low());
  }

  /** The table of lethal temperatures, as "25-26", against the code. */
  @Test
  void upperLethal_matchesItsTable() {
    Map<String, Species> rows =
        Map.of(
            "rainbow trout", Species.RAINBOW_TROUT,
            "brown trout", Species.BROWN_TROUT,
            "carp", Species.COMMON_CARP,
            "tench", Species.TENCH,
            "crucian carp", Species.CRUCIAN_CARP,
            "bream", Species.BREAM,
            "roach", Species.ROACH,
            "rudd", Species.RUDD,
            "perch", Species.PERCH,
            "pike", Species.PIKE);
    assertThat(
            ReferenceTable.rows("species_limits")
                .filter(r -> r.text("quantity").startsWith("upper lethal")))
        .hasSize(10)
        .allSatisfy(
            row -> {
              Species species = rows.get(row.text("who"));
              assertThat(species).isNotNull();
              String[] ends = row.text("value").split("-", -1);
              Band band = TemperatureLimits.upperLethalC(species).value();
              assertThat(band.low()).isEqualTo(Double.parseDouble(ends[0]));
              assertThat(band.high()).isEqualTo(Double.parseDouble(ends[1]));
            });
  }

  @Test
  void density_extremeForCarp_staysUnderWhatWasReadForCatfish() {
    // Channel catfish, 0.7–1.0 kg/L for 1–4 h at 10–16 °C; 0.48 for 16 h at 18.3 °C.
    double carp = DensityGuide.transportKgPerL(Species.COMMON_CARP, 10.0, 4.0).value().high();
    double carpLong = DensityGuide.transportKgPerL(Species.COMMON_CARP, 18.3, 16.0).value().high();

    assertThat(carp).isBetween(0.5, 0.85);
    assertThat(carpLong).isLessThan(0.48);
  }

  @Test
  void density_guide_isMarkedCommonPractice() {
    assertThat(DensityGuide.transportKgPerL(Species.ROACH, 10.0, 2.0).evidence().confidence())
        .isEqualTo(Confidence.COMMON_PRACTICE);
  }

  @Test
  void density_ofAMixture_liesBetweenThoseOfItsSpecies() {
    FishLoad mixed =
        FishLoad.of(Batch.ofKg(Species.COMMON_CARP, 50.0), Batch.ofKg(Species.ROACH, 50.0));

    double likely = DensityGuide.transportKgPerL(mixed, 11.11, 2.0).value().likely();

    assertThat(likely).isCloseTo(100.0 / (50.0 / 0.35 + 50.0 / 0.18), within(1e-4));
  }

  @Property
  void density_inWarmerWaterOrOnALongerTrip_isNeverMore(
      @ForAll Species species,
      @ForAll @DoubleRange(min = 0.0, max = 25.0) double temperatureC,
      @ForAll @DoubleRange(min = 0.0, max = 36.0) double hours,
      @ForAll @DoubleRange(min = 0.0, max = 5.0) double more) {
    double here = DensityGuide.transportKgPerL(species, temperatureC, hours).value().likely();

    assertThat(DensityGuide.transportKgPerL(species, temperatureC + more, hours).value().likely())
        .isLessThanOrEqualTo(here * (1 + 1e-12));
    assertThat(DensityGuide.transportKgPerL(species, temperatureC, hours + more).value().likely())
        .isLessThanOrEqualTo(here * (1 + 1e-12));
  }

  @Test
  void load_ofSeveralSpecies_takesTheStrictestFloorAndAddsDemand() {
    FishLoad mixed =
        FishLoad.of(Batch.of(Species.TENCH, 20.0, 30), Batch.of(Species.RAINBOW_TROUT, 10.0, 20));

    assertThat(mixed.keepFloorMgPerL()).isEqualTo(8.0);
    assertThat(mixed.criticalFloorMgPerL()).isEqualTo(4.0);
    assertThat(mixed.kg()).isEqualTo(30.0);
    assertThat(mixed.routineMgPerHour(10.0).likely())
        .isCloseTo(
            20.0 * OxygenDemand.routineMgPerKgPerHour(Species.TENCH, 2.0 / 3.0, 10.0).likely()
                + 10.0
                    * OxygenDemand.routineMgPerKgPerHour(Species.RAINBOW_TROUT, 0.5, 10.0).likely(),
            within(1e-9));
  }

  @Test
  void batch_notCounted_takesTheUsualSizeAndWidens() {
    DemandEstimate counted = Batch.of(Species.ROACH, 20.0, 100).routine(10.0);
    DemandEstimate weighed = Batch.ofKg(Species.ROACH, 20.0).routine(10.0);

    assertThat(weighed.mgPerKgPerHour().likely())
        .isCloseTo(counted.mgPerKgPerHour().likely(), within(1e-9));
    assertThat(weighed.mgPerKgPerHour().high()).isGreaterThan(counted.mgPerKgPerHour().high());
    assertThat(weighed.notes()).anySatisfy(n -> assertThat(n).contains("not counted"));
  }

  @Test
  void load_withoutFish_orWithAnImpossibleCount_isRefused() {
    assertThatIllegalArgumentException().isThrownBy(FishLoad::of);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Batch.of(Species.ROACH, 20.0, 0))
        .withMessageContaining("roach")
        .withMessageContaining("count");
  }
}
