// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.io.StringWriter;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class AssessCommandTest {

  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  private int run(String line) {
    return OpercleCommand.run(line.split(" "), new PrintWriter(out), new PrintWriter(err));
  }

  @Test
  void oneQuietNight_asJson_exits0() throws JsonProcessingException {
    assertThat(run("assess --nights 1 --seed 7 --without meter --json")).isZero();

    JsonNode json = new ObjectMapper().readTree(out.toString());
    assertThat(json.at("/falseAlarms/0/watch/tankNights").asDouble()).isEqualTo(1.0);
    assertThat(json.at("/instruments/without/0").asText()).isEqualTo("meter");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "assess --seed 7 | --nights",
        "assess --nights 0 --seed 7 | --nights must be 1 to 100000 but was 0",
        "assess --nights 1 --seed -7 | --seed must be 0 to",
        "assess --nights 1 --seed 7 --without metre | did you mean meter?",
        "assess --nights 1 --seed 7 --sampling 0 | --sampling must be 0.5 to 600.0 s but was 0.0",
        "assess --nights 1 --seed 7 --noise NaN | --noise must be"
      })
  void unusableOption_exits2WithOneLine(String line, String says) {
    assertThat(run(line)).isEqualTo(2);

    assertThat(err.toString().strip()).contains(says).doesNotContain("\n");
    assertThat(out.toString()).isEmpty();
  }
}
