// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.stream.Stream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.ReferenceTable;
import opercle.analysis.ReferenceTable.Row;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class CylinderTest {

  private static final Cylinder FIFTY = new Cylinder(50.0);

  static Stream<Row> contents() {
    return ReferenceTable.rows("cylinder_contents");
  }

  /** 0.2 %, or half a unit of the last printed digit where that is more. */
  @ParameterizedTest
  @MethodSource("contents")
  void contents_matchPropertyLibrary(Row row) {
    Cylinder cylinder = new Cylinder(row.number("water_volume_L"));
    double gauge = row.number("gauge_bar");
    double t = row.number("temp_C");

    isClose(cylinder.contentsGrams(gauge, t), row.number("mass_g"));
    isClose(cylinder.contentsLitres(gauge, t), row.number("free_L_15C_1atm"));
    isClose(cylinder.usableLitres(gauge, t, 5.0), row.number("usable_L_to_5bar"));
  }

  private static void isClose(double value, double printed) {
    assertThat(value).isCloseTo(printed, within(Math.max(0.002 * printed, 0.6)));
  }

  static Stream<Row> warmAndCold() {
    return ReferenceTable.rows("cylinder_pressure_temperature");
  }

  @ParameterizedTest
  @MethodSource("warmAndCold")
  void gauge_atAnotherTemperature_matchesPropertyLibrary(Row row) {
    double gauge =
        Cylinder.gaugeAtTemperatureBar(
            row.number("p0_gauge_bar_at_15C"), 15.0, row.number("temp_C"));

    assertThat(gauge).isCloseTo(row.number("real_gauge_bar"), within(0.06));
  }

  /** Worked in the science notes: 50 L, 200 bar down to 5, 3 L/min. */
  @Test
  void endurance_workedExample_is57Hours() {
    assertThat(FIFTY.endurance(200.0, 15.0, 5.0, 3.0))
        .isBetween(Duration.ofHours(57), Duration.ofHours(58));
  }

  /** Worked in the science notes: about 3.5 bar/h near 200 bar, 3.3 near 100. */
  @Test
  void gaugeFall_workedExample() {
    assertThat(FIFTY.gaugeFallBarPerHour(200.0, 15.0, 3.0)).isCloseTo(3.5, within(0.1));
    assertThat(FIFTY.gaugeFallBarPerHour(100.0, 15.0, 3.0)).isCloseTo(3.3, within(0.1));
  }

  /** A 300 bar filling at 15 °C, left in the sun. */
  @Test
  void gauge_ofAFullCylinderInTheSun_isStillANumber() {
    assertThat(Cylinder.gaugeAtTemperatureBar(300.0, 15.0, 35.0)).isBetween(330.0, 345.0);
  }

  @Test
  void gaugeFall_emptyOrFullestCylinder_isStillANumber() {
    assertThat(FIFTY.gaugeFallBarPerHour(0.0, 15.0, 3.0)).isCloseTo(3.6, within(0.2));
    assertThat(FIFTY.gaugeFallBarPerHour(345.0, 15.0, 3.0)).isBetween(3.5, 6.0);
  }

  @Test
  void usable_belowTheReserve_isNothing() {
    assertThat(FIFTY.usableLitres(4.0, 15.0, 10.0)).isZero();
    assertThat(FIFTY.endurance(4.0, 15.0, 10.0, 2.0)).isZero();
  }

  @Property
  void contents_higherPressure_areMore(
      @ForAll @DoubleRange(min = -1.0, max = 344.0) double gauge,
      @ForAll @DoubleRange(min = -40.0, max = 60.0) double temperature) {
    assertThat(FIFTY.contentsLitres(gauge + 1.0, temperature))
        .isGreaterThan(FIFTY.contentsLitres(gauge, temperature));
  }

  /** Gas is neither made nor lost: what was drawn is what is missing. */
  @Property
  void gaugeAfter_drawing_leavesTheContentsLess(
      @ForAll @DoubleRange(min = 10.0, max = 300.0) double gauge,
      @ForAll @DoubleRange(min = -20.0, max = 40.0) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 0.95) double share) {
    double drawn = share * FIFTY.usableLitres(gauge, temperature, 0.0);
    double after = FIFTY.gaugeAfterBar(gauge, temperature, drawn);

    assertThat(FIFTY.contentsLitres(after, temperature) + drawn)
        .isCloseTo(FIFTY.contentsLitres(gauge, temperature), within(0.01));
  }

  @Test
  void gaugeAfter_drawingMoreThanThereIs_isZero() {
    assertThat(FIFTY.gaugeAfterBar(20.0, 15.0, 50_000.0)).isZero();
  }

  @Test
  void endurance_noFlow_isRefused() {
    assertThatThrownBy(() -> FIFTY.endurance(200.0, 15.0, 5.0, 0.0))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("oxygen cylinder: endurance needs a flow above 0 L/min but was 0.0");
  }

  @Test
  void contents_pressureInPsi_isRefusedByName() {
    assertThatThrownBy(() -> FIFTY.contentsLitres(2200.0, 15.0))
        .hasMessage("oxygen cylinder: pressure 2200 bar is outside -1–345 bar");
  }

  @Test
  void cylinder_withoutVolume_isRefusedByName() {
    assertThatThrownBy(() -> new Cylinder(0.0))
        .hasMessage("oxygen cylinder: water volume 0 L is outside 0.1–2000 L");
  }
}
