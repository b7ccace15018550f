// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.settings;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.Map;
import org.junit.jupiter.api.Test;

class SectionTest {

  private final Problems problems = new Problems();

  private Section parse(String yaml) {
    return YamlFile.parse("opercle.yaml", yaml, problems);
  }

  private String told() {
    try {
      problems.throwIfAny();
      return "";
    } catch (UnusableInputException e) {
      return String.valueOf(e.getMessage());
    }
  }

  @Test
  void unknownKey_isNamedWithTheNearestKnownOne() {
    Section top = parse("broker: tcp://localhost\ndata-fodler: x\n");
    top.text("broker");
    top.optionalText("data-folder");

    top.finish();

    assertThat(told())
        .isEqualTo("opercle.yaml:2: data-fodler: unknown key (did you mean data-folder?)");
  }

  @Test
  void unknownKey_nothingLikeIt_listsWhatIsKnown() {
    Section top = parse("zzzz: 1\n");
    top.optionalText("broker");

    top.finish();

    assertThat(told()).isEqualTo("opercle.yaml:1: zzzz: unknown key; known here: broker");
  }

  @Test
  void number_withDecimalComma_suggestsThePoint() {
    parse("altitudeM: 40,5").optionalNumber("altitudeM", "m", 0, 5000);

    assertThat(told())
        .isEqualTo("opercle.yaml:1: altitudeM: \"40,5\" is not a number of m (did you mean 40.5?)");
  }

  @Test
  void number_outsideItsLimits_namesValueLimitsAndUnit() {
    parse("\nkg: 70000").number("kg", "kg", 0, 500);

    assertThat(told()).isEqualTo("opercle.yaml:2: kg: 70000 kg is outside 0 to 500 kg");
  }

  @Test
  void numberWithoutAUnit_isSpokenOfWithoutOne() {
    parse("\nport: 70000").optionalWhole("port", "", 0, 65535);
    parse("port: http").optionalWhole("port", "", 0, 65535);
    parse("\n\nport: 80.5").optionalWhole("port", "", 0, 65535);

    assertThat(told().lines())
        .containsExactly(
            "opercle.yaml:1: port: \"http\" is not a number",
            "opercle.yaml:2: port: 70000 is outside 0 to 65535",
            "opercle.yaml:3: port: 80.5 must be a whole number");
  }

  @Test
  void problemWithAHostileValue_isOneShortLine() {
    String shown =
        new Problem("t.csv", 3, "tank", "\"a\n\u001b[31m\" " + "x".repeat(9999)).toString();

    assertThat(shown)
        .startsWith("t.csv:3: tank: \"a\uFFFD\uFFFD[31m\" xxx")
        .hasSizeLessThan(510)
        .doesNotContain("\n", "\u001b");
  }

  @Test
  void number_notANumber_isRefused() {
    parse("kg: .nan").number("kg", "kg", 0, 10);

    assertThat(told()).contains("kg: \".nan\" is not a number of kg");
  }

  @Test
  void key_givenTwice_isReported() {
    parse("a: 1\na: 2\n");

    assertThat(told()).isEqualTo("opercle.yaml:2: a: is given twice");
  }

  @Test
  void problems_areAllToldInTheOrderOfTheirLines() {
    Section top = parse("b: x\na: {c: y}\nkind: hollding\n");
    top.choice("kind", Map.of("holding", 1, "transport", 2));
    top.optionalSection("a").orElseThrow().number("c", "L", 0, 1);
    top.number("b", "kg", 0, 1);

    assertThat(told().lines())
        .satisfiesExactly(
            l -> assertThat(l).startsWith("opercle.yaml:1: b: \"x\""),
            l -> assertThat(l).startsWith("opercle.yaml:2: a.c: \"y\""),
            l ->
                assertThat(l).startsWith("opercle.yaml:3: kind: \"hollding\"").contains("holding"));
  }

  @Test
  void time_ofAYearThatNoCalendarHas_isRefused() {
    parse("since: -290309-01-01T00:00:00Z").optionalTime("since");

    assertThat(told()).contains("since: \"-290309-01-01T00:00:00Z\" is not a time such as");
  }

  @Test
  void time_withoutOffset_isRefusedWithAnExample() {
    parse("since: 2026-03-14T09:00").optionalTime("since");

    assertThat(told()).contains("since: \"2026-03-14T09:00\" is not a time such as");
  }

  @Test
  void brokenYaml_namesTheLine() {
    assertThatThrownBy(() -> parse("a: [1, 2\nb: 3\n"))
        .isInstanceOf(UnusableInputException.class)
        .hasMessageStartingWith("opercle.yaml:2: is not valid YAML: look here and just above");
  }

  @Test
  void emptyFile_saysWhatBelongsThere() {
    assertThatThrownBy(() -> parse("")).hasMessageContaining("must hold keys and values");
  }
}
