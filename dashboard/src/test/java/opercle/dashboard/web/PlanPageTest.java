// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Objects;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.openqa.selenium.WebElement;

/** The load plan in a real browser. */
class PlanPageTest extends InTheBrowser {

  private static final FakeFarm FARM = FakeFarm.quiet();

  @BeforeAll
  static void open() {
    serve(FARM);
  }

  @AfterEach
  void nothingWasDone() {
    assertThat(FARM.acts()).isEmpty();
    browser.run("localStorage.clear(); return true;");
  }

  private static void look(String path) {
    go(path);
    browser.until("the answer", PlanPageTest::isAnswered);
  }

  private static boolean isAnswered() {
    return "false".equals(browser.find("#plan").getDomAttribute("data-stale"))
        && browser.find("#answer").isDisplayed();
  }

  private static void type(String id, String text) {
    WebElement field = browser.find("#" + id);
    field.clear();
    field.sendKeys(text);
  }

  private static String value(String id) {
    return Objects.requireNonNullElse(browser.find("#" + id).getDomProperty("value"), "");
  }

  @Test
  void plan_ofATankOfTheFarm_startsFromItsRecord() {
    look("/plan?tank=t1");

    assertThat(value("load-0-species")).isEqualTo("common-carp");
    assertThat(value("load-0-kg")).isEqualTo("140");
    assertThat(value("waterLitres")).isEqualTo("650");
    assertThat(value("temperatureC")).isEqualTo("11.8");
    assertThat(value("cylinder-bar")).isEqualTo("200");
    assertThat(browser.text("#headline")).startsWith("If gas stops: ").contains(" min in hand");
    assertThat(browser.text("#cautions")).contains("Oxygen feeds fire", "rated load of vehicle");
    assertThat(browser.all("#courses svg")).hasSize(3);
    assertThat(browser.find("#courses svg").getDomAttribute("aria-label"))
        .startsWith("Oxygen, mg/L: ");
  }

  @Test
  void whereEachFigureIsFrom_isSaidOnATap_andOnPointing() {
    look("/plan?tank=t1");
    browser.find("#answer .whence summary").click();

    browser.until("it is said", () -> browser.all("#answer .whence li").size() > 5);
    assertThat(browser.text("#answer .whence"))
        .contains(
            "worked out at 02:11:",
            "None of it was measured.",
            "Filled in from Trailer tank",
            "Water at loading: probe 1, read at 02:11:",
            "If gas stops: an estimate from the oxygen in the water",
            "Carbon dioxide: an estimate",
            "Judged by: ");
    assertThat(
            browser.run(
                "const figure = document.querySelector('#stats div');"
                    + "figure.dispatchEvent(new Event('pointerenter')); return figure.title;"))
        .asString()
        .startsWith("If gas stops: an estimate");

    type("load-0-kg", "60");
    browser.until("the new answer", PlanPageTest::isAnswered);
    assertThat(browser.all("#answer .whence[open] li")).as("stays open").isNotEmpty();
  }

  @Test
  void verdict_followsWhatIsTyped() {
    look("/plan");
    String before = browser.text("#verdict");

    type("load-0-kg", "900");

    browser.until("no", () -> isAnswered() && browser.text("#verdict").equals("✕ Do not go"));
    assertThat(before).isNotEqualTo("✕ Do not go");
    assertThat(browser.all("#reasons details[data-verdict='do-not-go']")).isNotEmpty();
  }

  @Test
  void fieldsThatCannotBeUsed_areSaidAllAtOnce_andNoOldVerdictIsLeft() {
    look("/plan");

    type("load-0-kg", "many");
    type("temperatureC", "95");

    browser.until(
        "both are said", () -> browser.text("#headline").startsWith("2 fields need you."));
    assertThat(browser.text("#verdict")).isEqualTo("No answer");
    assertThat(browser.find("#answer").isDisplayed()).isFalse();
    assertThat(browser.text("#temperatureC-wrong")).isEqualTo("Must be: 0–35 °C");
    assertThat(browser.find("#temperatureC").getDomAttribute("aria-invalid")).isEqualTo("true");
    assertThat(browser.find("#minutes").getDomAttribute("aria-invalid")).isEqualTo("false");
    browser.run("localStorage.setItem('opercle-unit-temperature', '°F'); return true;");
    look("/plan");
    type("temperatureC", "203");
    browser.until(
        "the limit has the field's unit",
        () -> browser.text("#temperatureC-wrong").equals("Must be: 32–95 °F"));
    browser.run("localStorage.removeItem('opercle-unit-temperature'); return true;");
    browser.complaints(); // the browser itself notes every answer of 422
  }

  @Test
  void unitsOfTheKeeper_areConverted_bothWays() {
    look("/plan?tank=t1");
    browser.run(
        "localStorage.setItem('opercle-unit-mass', 'lb');"
            + "localStorage.setItem('opercle-unit-temperature', '°F'); return true;");

    look("/plan?tank=t1");

    assertThat(value("load-0-kg")).isEqualTo("309"); // 140 kg / 0.45359237
    assertThat(value("temperatureC")).isEqualTo("53.2");
    Object sent =
        browser.run(
            "const { planForm } = await import('/assets/plan-form.js');"
                + "const f = document.createElement('form');"
                + "document.body.append(f);"
                + "const form = planForm(f, [{ id: 'tench', name: 'tench' }], () => {});"
                + "form.addBatch({ species: 'tench', kg: 55 });"
                + "const asked = form.read();"
                + "f.remove();"
                + "return [asked.load[0].kg, asked.temperatureC];");
    assertThat(sent)
        .asString()
        .matches("\\[(55|54\\.99\\d*|55\\.00\\d*), (12|12\\.0\\d*|11\\.99\\d*)]");
  }

  @Test
  void courses_areNamedAsAKeeperNamesThem() {
    look("/plan?tank=t1");

    browser.until("they are drawn", () -> !browser.all("#courses svg").isEmpty());
    assertThat(browser.text("#courses"))
        .contains("All ammonia, mg/L as nitrogen")
        .doesNotContain("TAN");
  }
}
