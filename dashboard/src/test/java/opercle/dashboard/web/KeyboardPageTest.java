// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.publish.TankAct;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.Keys;
import org.openqa.selenium.interactions.Actions;

/** Somebody without a mouse or a finger, in a real browser: only keys are sent. */
class KeyboardPageTest extends InTheBrowser {

  /** What a Tab may come to, and what it came to; kept in the page. */
  private static final String WALK =
      """
      window.walk = [];
      window.called = (n) =>
        `${n.tagName} ${n.id} ${(n.getAttribute('aria-label') ?? n.textContent ?? '').trim().slice(0, 40)}`;
      const isFirst = (n) => n.type !== 'radio' || n === ([...document.getElementsByName(n.name)]
        .find((r) => r.checked) ?? document.getElementsByName(n.name)[0]);
      const all = 'a[href], button, input, select, textarea, summary, [tabindex="0"]';
      window.reachable = [...document.querySelectorAll(all)]
        .filter((n) => n.checkVisibility() && !n.disabled && n.tabIndex >= 0 && isFirst(n));
      document.addEventListener('focusin', ({ target: node }) => {
        const { outlineStyle, outlineWidth } = getComputedStyle(node);
        const { left, top, right, bottom } = node.getBoundingClientRect();
        walk.push({ node, left, right, top: top + scrollY, bottom: bottom + scrollY,
          stays: node.closest('header, .skip') !== null,
          seen: outlineStyle !== 'none' && parseFloat(outlineWidth) >= 2 });
      });
      return reachable.length;
      """;

  @TempDir private static Path folder;
  private static KeptAlarms kept;
  private final FakeFarm farm = FakeFarm.troubled();

  @BeforeAll
  static void open() {
    kept = closing(KeptAlarms.in(folder));
  }

  @BeforeEach
  void start() {
    serve(farm, kept.past());
  }

  @AfterEach
  void stop() {
    assertThat(browser.complaints()).isEmpty();
  }

  @ParameterizedTest(name = "{0} {1}")
  @CsvSource({
    "desk, /, .card .trace[d*=L]",
    "phone, /, .card .trace[d*=L]",
    "desk, /tank/h2, .surface canvas",
    "phone, /tank/h2, .surface canvas",
    "desk, /alarms, '#past li'",
    "phone, /alarms, '#past li'",
  })
  void tab_comesToEverything_inReadingOrder_isSeenThere_andGoesOn(
      String form, String path, String sign) {
    look(form, path, sign);
    int reachable = ((Long) browser.run(WALK)).intValue();
    assertThat(reachable).isGreaterThan(12);

    keys(String.join("", Collections.nCopies(reachable, Keys.TAB)));

    List<Map<String, Object>> walk =
        list("return walk.map(({ node, ...where }) => ({ ...where, called: called(node) }));");
    List<String> all = list("return reachable.map(called);");
    assertThat(walk.stream().limit(all.size()).map(step -> step.get("called")).toList())
        .as("all of it, in the order in which it stands there")
        .isEqualTo(all);
    assertThat(walk).filteredOn(step -> !Boolean.TRUE.equals(step.get("seen"))).isEmpty();
    for (int i = 1; i < all.size(); i++) {
      assertThat(isAfter(walk.get(i - 1), walk.get(i)))
          .as("%s, then %s", walk.get(i - 1), walk.get(i))
          .isTrue();
    }

    browser.run("walk.length = 0; return 1;");
    withShift(Keys.TAB, Keys.TAB, Keys.TAB);
    assertThat(browser.run("return walk.map(({ node }) => reachable.indexOf(node)).join(' ');"))
        .as("and back again")
        .isEqualTo("%d %d %d".formatted(reachable - 2, reachable - 3, reachable - 4));
    keys(Keys.TAB, Keys.TAB, Keys.TAB, Keys.TAB);
    assertThat(browser.run("return document.activeElement !== reachable.at(-1);"))
        .as("no end at the last one")
        .isEqualTo(true);
  }

  /** Lower down, or further to the right; what stays in sight has no place on the page. */
  private static boolean isAfter(Map<String, Object> before, Map<String, Object> then) {
    return Boolean.TRUE.equals(before.get("stays"))
        || number(then, "bottom") > number(before, "top")
        || number(then, "left") >= number(before, "right") - 1;
  }

  private static double number(Map<String, Object> step, String what) {
    return ((Number) Objects.requireNonNull(step.get(what), what)).doubleValue();
  }

  @ParameterizedTest
  @CsvSource({"desk", "phone"})
  void fromTheYardToATank_andAnAlarmIsTaken_byKeysAlone(String form) {
    look(form, "/offline", "h1");
    browser.run("localStorage.removeItem('opercle-name'); return 1;");
    look(form, "/", ".card .trace[d*=L]");
    tabTo("a[href=\"/tank/h2\"]");
    keys(Keys.ENTER);
    browser.until("the tank", () -> !browser.all(".surface canvas").isEmpty());

    String have = "#now button";
    tabTo(have);
    assertThat(browser.run("return document.activeElement.textContent;")).isEqualTo("I have it");
    keys(Keys.ENTER);
    browser.until("asked who", () -> browser.find("dialog").isDisplayed());
    assertThat(browser.run("return document.activeElement.id;")).isEqualTo("name");
    keys(Keys.TAB, Keys.TAB, Keys.TAB, Keys.TAB, Keys.TAB);
    assertThat(
            browser.run(
                "return document.querySelector('dialog').contains(document.activeElement) "
                    + "|| document.activeElement === document.body;"))
        .as("what lies behind the question is out of reach")
        .isEqualTo(true);
    keys(Keys.ESCAPE);
    browser.until("turned back", () -> browser.all("dialog[open]").isEmpty());
    assertThat(browser.run("return document.activeElement.textContent;"))
        .as("back where one was")
        .isEqualTo("I have it");
    assertThat(farm.acts()).isEmpty();

    keys(Keys.ENTER);
    browser.until("asked again", () -> !browser.all("dialog[open]").isEmpty());
    keys("Maren", Keys.ENTER);

    browser.until("it is taken", () -> browser.text("#now").contains("Maren has it"));
    assertThat(farm.acts())
        .containsExactly(
            new TankAct.OnAlarm(
                "h2",
                AlarmCause.GAS_LINE_STOPPED,
                TankAct.OnAlarm.What.ACKNOWLEDGE,
                "Maren",
                Optional.empty()));
    assertThat(String.valueOf(browser.run("return document.activeElement.innerText;")))
        .as("the focus is not lost with the button")
        .startsWith("Maren has it.");
  }

  @Test
  void chart_isMovedAndZoomed_andReadAsATable_byKeysAlone() {
    look("desk", "/tank/h2", ".surface canvas");
    tabTo(".surface");
    String day = browser.text("#save");
    assertThat(pressed()).isEqualTo("24 h");

    keys("+");
    browser.until("closer", () -> pressed().isEmpty());
    keys(Keys.ARROW_LEFT);
    keys(Keys.ARROW_RIGHT);
    keys("-");
    keys("0");
    browser.until("the usual span", () -> pressed().equals("24 h"));
    assertThat(browser.text("#save")).isEqualTo(day);
    assertThat(browser.run("return document.activeElement.className;")).isEqualTo("surface");

    String overview = browser.text(".readout");
    withShift(Keys.ARROW_LEFT);
    String newest = browser.text(".readout");
    assertThat(newest).matches("1[34] Mar, [\\d:]+( to [\\d:]+)?: \\d\\.\\d+ mg/L.*");
    withShift(Keys.ARROW_LEFT);
    assertThat(browser.text(".readout")).as("earlier").isNotEqualTo(newest).contains("mg/L");
    withShift(Keys.ARROW_RIGHT);
    assertThat(browser.text(".readout")).isEqualTo(newest);
    assertThat(pressed()).as("and nothing else moved").isEqualTo("24 h");
    keys(Keys.ESCAPE);
    assertThat(browser.text(".readout")).isEqualTo(overview);

    tabTo("#table summary");
    keys(Keys.ENTER);
    browser.until("the table", () -> !browser.all("#table tbody tr").isEmpty());
    keys(Keys.ENTER);
    browser.until("it is shut", () -> browser.all("#table[open]").isEmpty());
  }

  private String pressed() {
    return String.valueOf(
        browser.run(
            "return document.querySelector('#spans [aria-pressed=true]')?.textContent ?? '';"));
  }

  private void look(String form, String path, String sign) {
    if (form.equals("phone")) {
      browser.phone();
    } else {
      browser.desk();
    }
    go(path);
    browser.until(path + " is drawn", () -> !browser.all(sign).isEmpty());
  }

  /** Presses Tab until the focus is there. */
  private void tabTo(String css) {
    for (int i = 0; i < 120; i++) {
      keys(Keys.TAB);
      if (Boolean.TRUE.equals(
          browser.run("return document.activeElement.matches('%s');".formatted(css)))) {
        return;
      }
    }
    throw new AssertionError(css + " is not reached");
  }

  private static void keys(CharSequence... typed) {
    new Actions(browser.driver()).sendKeys(typed).perform();
  }

  private static void withShift(CharSequence... typed) {
    new Actions(browser.driver()).keyDown(Keys.SHIFT).sendKeys(typed).keyUp(Keys.SHIFT).perform();
  }

  @SuppressWarnings("unchecked")
  private static <T> List<T> list(String script) {
    return (List<T>) browser.run(script);
  }
}
