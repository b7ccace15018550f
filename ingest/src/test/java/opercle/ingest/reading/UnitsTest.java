// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class UnitsTest {

  /** By definition of the units, worked by hand. */
  @ParameterizedTest
  @CsvSource({
    "OXYGEN, 8.5, mg/l, OXYGEN, 8.5",
    "OXYGEN, 0.0085, kg/m3, OXYGEN, 8.5",
    "OXYGEN, 92.5, %, OXYGEN_SATURATION, 92.5",
    "OXYGEN, 0.925, /, OXYGEN_SATURATION, 92.5",
    "OXYGEN_SATURATION, 1.1, /, OXYGEN_SATURATION, 110",
    "TEMPERATURE, 288.15, K, TEMPERATURE, 15",
    "TEMPERATURE, 15, Cel, TEMPERATURE, 15",
    "TEMPERATURE, 59, degF, TEMPERATURE, 15",
    "TEMPERATURE, -40, degF, TEMPERATURE, -40",
    "GAS_FLOW, 0.05, l/s, GAS_FLOW, 3",
    "GAS_FLOW, 0.0001, m3/s, GAS_FLOW, 6",
    "GAS_FLOW, 10, cfh, GAS_FLOW, 4.719474432",
    "LINE_PRESSURE, 350000, Pa, LINE_PRESSURE, 3.5",
    "LINE_PRESSURE, 350, kPa, LINE_PRESSURE, 3.5",
    "CYLINDER_PRESSURE, 2900, psi, CYLINDER_PRESSURE, 199.947961502",
    "AIR_PRESSURE, 101325, Pa, AIR_PRESSURE, 101.325",
    "AIR_PRESSURE, 1013.25, hPa, AIR_PRESSURE, 101.325",
    "AIR_PRESSURE, 1013.25, mbar, AIR_PRESSURE, 101.325",
    "PH, 7.4, pH, PH, 7.4",
    "WATER_LEVEL, 1.5, m3, WATER_LEVEL, 1500",
    "WATER_LEVEL, 650, l, WATER_LEVEL, 650"
  })
  void toCanonical_converts(
      Quantity quantity, double value, String unit, Quantity expectedQuantity, double expected) {
    Measured measured = Units.toCanonical(quantity, value, unit).orElseThrow();

    assertThat(measured.quantity()).isEqualTo(expectedQuantity);
    assertThat(measured.value()).isCloseTo(expected, within(1e-9 * Math.max(1, expected)));
  }

  /** The table gives mass per litre from real gas densities, hence a tolerance of its rounding. */
  @Test
  void normalLitres_matchPublishedDensities() throws IOException {
    double relative = relativeTo15C("0 degC 1 atm");

    double converted = Units.toCanonical(Quantity.GAS_FLOW, 1.0, "L/min@0C").orElseThrow().value();

    // Oxygen is not quite ideal: its density changes by 1.0551 where the ideal law gives 1.0549.
    assertThat(converted).isCloseTo(relative, within(0.0003));
  }

  @Test
  void unknownUnit_isEmpty() {
    assertThat(Units.toCanonical(Quantity.TEMPERATURE, 15.0, "mg/L")).isEmpty();
    assertThat(Units.toCanonical(Quantity.TEMPERATURE, 15.0, "cel")).isEmpty();
  }

  @ParameterizedTest
  @EnumSource
  void canonicalUnit_isAcceptedUnchangedAndNamedFirst(Quantity quantity) {
    assertThat(Units.toCanonical(quantity, 12.25, quantity.unit()))
        .contains(new Measured(quantity, 12.25));
    assertThat(Units.accepted(quantity)).startsWith(quantity.unit());
  }

  private static double relativeTo15C(String reference) throws IOException {
    var stream = Objects.requireNonNull(UnitsTest.class.getResourceAsStream("flow_units.csv"));
    try (var lines = new BufferedReader(new InputStreamReader(stream, StandardCharsets.UTF_8))) {
      return lines
          .lines()
          .filter(line -> line.contains(reference))
          .mapToDouble(line -> Double.parseDouble(line.substring(line.lastIndexOf(',') + 1)))
          .findFirst()
          .orElseThrow();
    }
  }
}
