// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The {@code water} command, in this process. */
class WaterCommandTest {

  private static final String READINGS = " --oxygen 16.932 --ph 7.02 --tan 1.5 --alkalinity 100";

  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  private int run(String arguments) {
    return OpercleCommand.run(
        arguments.split(" ", -1), new PrintWriter(out, true), new PrintWriter(err, true));
  }

  private JsonNode json(String arguments) throws IOException {
    assertThat(run(arguments + " --json")).isZero();
    return new ObjectMapper().readTree(out.toString());
  }

  /** The science notes' worked example: 10 °C, oxygen at 150 %, nitrogen as in air. */
  @Test
  void oxygen_isToldAsPercentTensionAndGasPressure() throws Exception {
    JsonNode measured = json("water --temperature 10 --oxygen 16.932").path("measured");

    assertThat(measured.path("oxygenPercent").asDouble()).isCloseTo(150.0, within(0.1));
    assertThat(measured.path("oxygenTensionKPa").asDouble()).isCloseTo(31.5, within(0.1));
    assertThat(measured.path("deltaPKPa").asDouble()).isCloseTo(10.5, within(0.1));
    assertThat(measured.path("deltaPMmHg").asDouble()).isCloseTo(79.0, within(1.0));
    assertThat(measured.path("totalGasPressurePercent").asDouble()).isCloseTo(110.0, within(0.5));
    assertThat(measured.has("pH")).isFalse();
  }

  /** Printed worked example: 24 °C, pH 8, 1 mg/L total as nitrogen, share 0.0502. */
  @Test
  void pHAndTotalAmmonia_tellUnionisedAmmonia() throws Exception {
    JsonNode measured = json("water --temperature 24 --ph 8 --tan 1").path("measured");

    assertThat(measured.path("unionisedAmmoniaPercent").asDouble()).isCloseTo(5.02, within(0.02));
    assertThat(measured.path("unionisedAmmoniaMgPerL").asDouble())
        .isCloseTo(0.0502 * 17.031 / 14.007, within(0.0002));
  }

  /** The science notes' worked example: alkalinity 100 mg/L, 20 °C, pH 7.02 is 20 mg/L. */
  @Test
  void pHAndAlkalinity_tellCarbonDioxide_andItCountsInTheGasPressure() throws Exception {
    JsonNode with =
        json("water --temperature 20 --ph 7.02 --alkalinity 100 --oxygen 9.09").path("measured");
    out.getBuffer().setLength(0);
    JsonNode without = json("water --temperature 20 --oxygen 9.09").path("measured");

    assertThat(with.path("freeCarbonDioxideMgPerL").asDouble()).isCloseTo(20.0, within(0.3));
    assertThat(
            with.path("totalGasPressureKPa").asDouble()
                - without.path("totalGasPressureKPa").asDouble())
        .isBetween(1.0, 1.3);
  }

  /** Altitude to pressure: 1000 m is 898.8 hPa, and percent is of what that water can hold. */
  @Test
  void altitude_isToldAsPressure_andPercentIsLocal() throws Exception {
    JsonNode water = json("water --temperature 10 --altitude 1000 --oxygen 10");

    assertThat(water.path("pressureKPa").asDouble()).isCloseTo(89.88, within(0.01));
    assertThat(water.path("measured").path("oxygenPercent").asDouble())
        .isCloseTo(100.0 * 10.0 / water.path("saturationMgPerL").asDouble(), within(0.06));
  }

  /** Every number that programs get is on the screen too, digit by digit. */
  @Test
  void text_holdsEveryNumberOfTheJson_within80Columns() throws Exception {
    JsonNode json = json("water --temperature 12.5 --salinity 3 --altitude 250" + READINGS);
    out.getBuffer().setLength(0);
    assertThat(run("water --temperature 12.5 --salinity 3 --altitude 250" + READINGS)).isZero();
    String text = out.toString();

    List<String> numbers = new ArrayList<>();
    json.properties()
        .forEach(
            field -> {
              if (field.getValue().isNumber() && !field.getKey().equals("pressureKPa")) {
                numbers.add(field.getKey());
              }
            });
    assertThat(numbers).hasSize(9);
    json.path("measured").properties().forEach(field -> numbers.add(field.getKey()));
    assertThat(numbers).hasSize(9 + 13);
    for (String key : numbers) {
      JsonNode value = json.has(key) ? json.path(key) : json.path("measured").path(key);
      assertThat(text).as(key).contains(plain(value));
    }
    assertThat(text).contains("98.36 kPa").contains("at pH 8.0");
    assertThat(text.lines()).allSatisfy(l -> assertThat(l.length()).isLessThanOrEqualTo(80));
  }

  private static String plain(JsonNode number) {
    String text = number.asText();
    return text.endsWith(".0") ? text.substring(0, text.length() - 2) : text;
  }

  @Test
  void text_withoutReadings_saysNothingOfReadings() {
    assertThat(run("water --temperature 10")).isZero();

    assertThat(out.toString())
        .contains("11.288 mg/L")
        .contains("Garcia & Gordon 1992")
        .doesNotContain("As measured");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "--tan 1 | --tan needs --ph beside it",
        "--alkalinity 100 | --alkalinity needs --ph beside it",
        "--ph 11 | un-ionised ammonia, Emerson et al. (1975): pH 11 is outside 6–10",
        "--ph 9 --alkalinity 100 | carbon dioxide from pH and alkalinity: pH 9 is outside 5–8.5",
        "--oxygen 900 | oxygen saturation: oxygen 900 mg/L is outside -0.5–200 mg/L",
      })
  void reading_thatCannotBe_isOneLineThatNamesIt_andExitCode2(String reading, String message) {
    assertThat(run("water --temperature 10 " + reading.strip())).isEqualTo(2);

    assertThat(out.toString()).isEmpty();
    assertThat(err.toString().lines()).singleElement().asString().contains(message.strip());
  }
}
