// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.offset;

import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Units at the screen's edge, called in a browser as the pages call them. */
class PageUnitsTest extends InTheBrowser {

  @BeforeAll
  static void open() {
    serve(FakeFarm.quiet());
    go("/not-taken");
  }

  /**
   * Factors of NIST Special Publication 811 (2008), appendix B.8 (from memory): pound 4.535924 E-01
   * kg, gallon (UK) 4.546 09 E+00 L, gallon (US) 3.785412 E+00 L; the stone is 14 pounds.
   */
  @ParameterizedTest
  @CsvSource({
    "mass, kg, 1, 1",
    "mass, lb, 1, 0.4535924",
    "mass, stone, 1, 6.350293",
    "volume, gal (UK), 1, 4.54609",
    "volume, gal (US), 1, 3.785412",
    "temperature, °C, 37, 37",
    "temperature, °F, 32, 0",
    "temperature, °F, 212, 100",
    "temperature, °F, -40, -40"
  })
  void unit_isConverted_bothWays(String kind, String unit, double shown, double inside) {
    String scale = "m.KINDS['%s'].units['%s']".formatted(kind, unit);

    assertThat(number("units", scale + ".inside(" + shown + ")"))
        .isCloseTo(inside, offset(5e-7 * Math.max(1.0, Math.abs(inside))));
    assertThat(number("units", scale + ".shown(" + inside + ")"))
        .isCloseTo(shown, offset(1e-6 * Math.max(1.0, Math.abs(shown))));
  }

  @Test
  void units_chosenOnThisDevice_areSpoken() {
    assertThat(
            module(
                "units",
                "(m.choose('mass', 'stone'), m.choose('temperature', '°F'), m.amount('mass', 140))"))
        .isEqualTo("22 stone");
    assertThat(module("words", "m.temperatureWords(12.4)")).isEqualTo("54.3 °F");
    browser.run("localStorage.clear(); return true;");
    assertThat(
            module(
                "units",
                "(m.choose('temperature', '°C'), m.choose('mass', 'nonsense'), m.amount('mass', 140))"))
        .isEqualTo("140 kg");
    browser.run("localStorage.clear(); return true;");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "Water 19.5 °C, above 19 °C. | Water 67.1 °F, above 66 °F.",
        "water 20.0 °C and warming 2.5 °C an hour | water 68.0 °F and warming 4.5 °F an hour",
        "The water changes by 3 °C on the way. | The water changes by 5 °F on the way.",
        "best at 5–8 °C or 10 to 15 °C | best at 41–46 °F or 50 to 59 °F",
        "fewer fish: 140 kg | fewer fish: 22.0 stone",
        "more water: 1500 L | more water: 330 gal (UK)",
        "Fed 10 kg | Fed 1.6 stone",
        "Changed 30 L, at most by 3 °C | Changed 6.6 gal (UK), at most by 5 °F",
        "140 kg in 650 L at 12 °C | 22.0 stone in 143 gal (UK) at 54 °F",
        "2.5 L/min, 600 L of gas, gas 90 L, 2 × 20 L at 200 bar | 2.5 L/min, 600 L of gas, gas 90 L, 2 × 20 L at 200 bar",
        "Change a third (about 500 L). | Change a third (about 110 gal (UK)).",
        "0.2 kg of fish per litre, 110 mg/kg/h, 0.5 kg/L at 4.1 mg/L | 0.031 stone of fish per litre, 110 mg/kg/h, 0.5 kg/L at 4.1 mg/L"
      })
  void sentence_ofTheServer_isSaidInThisDevicesUnits(String told, String said) {
    String inOwn = "m.inOwnUnits('" + told + "')";

    assertThat(module("units", chosen("kg", "°C", inOwn))).isEqualTo(told);
    assertThat(module("units", chosen("stone", "°F", inOwn))).isEqualTo(said);
    module("units", chosen("kg", "°C", "''"));
  }

  private static String chosen(String mass, String temperature, String expression) {
    String volume = mass.equals("kg") ? "L" : "gal (UK)";
    return "(m.choose('mass', '%s'), m.choose('temperature', '%s'), m.choose('volume', '%s'), %s)"
        .formatted(mass, temperature, volume, expression);
  }

  private static double number(String module, String expression) {
    return Double.parseDouble(String.valueOf(module(module, "String(" + expression + ")")));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "mass | lb | at most 66 | kg | at most 145 lb",
        "mass | kg | at most 66 | kg | at most 66 kg",
        "temperature | °F | 0–35 | °C | 32–95 °F",
        "temperature | °F | 0–35 | °C at the end | 32–95 °F at the end",
        "volume | gal (UK) | 1–1000000 | L | 0.22–219000 gal (UK)"
      })
  void limitOfAField_isInTheUnitOfTheField(
      String kind, String unit, String limit, String inside, String words) {
    String call =
        "(localStorage.setItem('opercle-unit-%s', '%s'), m.limitWords('%s', '%s', '%s'))"
            .formatted(kind, unit, kind, limit, inside);
    assertThat(module("units", call)).isEqualTo(words);
    browser.run("localStorage.removeItem('opercle-unit-%s'); return true;".formatted(kind));
  }

  /** 308.647167 lb are 140 kg; nobody writes so many digits, and no scale has them. */
  @ParameterizedTest
  @CsvSource({
    "mass, lb, 140, 309",
    "mass, lb, 12.5, 27.6",
    "mass, lb, 1.3, 2.87",
    "mass, stone, 140, 22",
    "mass, kg, 140, 140",
    "mass, kg, 139.70645, 139.7",
    "mass, kg, 0.35, 0.35",
    "volume, gal (UK), 650, 143",
    "volume, gal (US), 650, 172",
    "temperature, °F, 12.2, 54",
    "temperature, °C, 12.25, 12.25"
  })
  void figureInAField_hasTheDigitsThatAKeeperWrites(
      String kind, String unit, String inside, String field) {
    String call =
        "(localStorage.setItem('opercle-unit-%s', '%s'), m.inField('%s', %s))"
            .formatted(kind, unit, kind, inside);

    assertThat(module("units", call)).isEqualTo(field);
    browser.run("localStorage.clear(); return true;");
  }

  @Test
  void density_isInTheUnitsOfTheDevice() {
    assertThat(module("units", "m.densityWords(187)")).isEqualTo("187 kg/m³");
    browser.run(
        "localStorage.setItem('opercle-unit-mass', 'lb');"
            + "localStorage.setItem('opercle-unit-volume', 'gal (UK)'); return true;");
    assertThat(module("units", "m.densityWords(187)")).isEqualTo("187 lb in 100 gal (UK)");
    browser.run(
        "localStorage.removeItem('opercle-unit-mass');"
            + "localStorage.removeItem('opercle-unit-volume'); return true;");
  }

  @Test
  void figureThatAnotherChangedByLessThanAFieldShows_isSentAsItIsNow() {
    String specs = "[{ path: 'kg', label: 'Weight', kind: 'mass', value: %s }]";
    assertThat(
            number(
                "fields",
                "(() => { const f = m.fields('x', %s); f.rebase(%s); return f.read().kg; })()"
                    .formatted(specs.formatted("1"), specs.formatted("1.00001"))))
        .isEqualTo(1.00001);
  }

  private static Object module(String name, String expression) {
    return browser.run(
        "const m = await import('/assets/%s.js'); return %s;".formatted(name, expression));
  }
}
