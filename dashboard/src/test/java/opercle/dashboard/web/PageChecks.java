// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** What must hold for every page, whatever it shows. For one thread. */
public final class PageChecks {

  /** Not "20 L at 200 bar", "190 L at 15 °C" of gas, "Gas, L", "mg/kg" or "kg/m³". */
  private static final Pattern OTHER_UNITS =
      Pattern.compile(
          ".{0,30}(?<!at )(?<![/.\\d])(?<!Gas)(?<!water volume)(?<!cylinder \\()(\\d[\\d.,–]*|,) (kg|L|°C)(?![/\\w])"
              + "(?! (at \\d+ (bar|°C)|of gas))");

  /** What a keeper was stopped by once; each must not come back. */
  private static final Pattern JARGON =
      Pattern.compile(
          ".{0,30}(\\b(?i:brokers?|topics?|mqtt|json|payloads?|process(es)?|tokens?|webhooks?|http|supersaturation"
              + "|median|mean|flood|un-?ionised|influxdb|sqlite|postgresql|datafolder|keepdays|responseminutes"
              + "|qos|null|undefined|nan|infinity|iso 8601|isa-?18|eemua|hse chemicals|heartbeat|spool)\\b"
              + "|\\[object|\\d{4}-W\\d\\d|\\d{4}-\\d\\d-\\d\\d|\\dT\\d\\d:|mg/kg/h|mg N/L|\\d \\([\\d.]+–[\\d.]+\\)"
              + "|\\d\\d\\.\\d{3,}|[1-9]\\.\\d{3,}|0\\.\\d{4,}|[a-z]+-[0-9a-f]{8,}).{0,30}");

  private static final Pattern URL = Pattern.compile("\"request\":\\{.*?\"url\":\"([^\"]+)\"");

  /** Elements whose text is wider or taller than the box that is to show it. */
  private static final String CUT_OFF =
      """
      const wide = document.documentElement.clientWidth;
      const isScrolled = (n) => n.closest('.picture'); // a drawing; its figures stand beside it
      return [...document.querySelectorAll('body *')]
        .filter((n) => n.checkVisibility() && !n.closest('svg, .unseen, .surface') && !isScrolled(n))
        .filter((n) => {
          const box = n.getBoundingClientRect();
          return box.right > wide + 0.5 || box.left < -0.5
            || n.scrollWidth > n.clientWidth + 1 && getComputedStyle(n).display !== 'inline'
            || n.scrollHeight > n.clientHeight + 4 && getComputedStyle(n).overflow === 'hidden';
        })
        .map((n) => `${n.tagName}.${n.className}: ${n.textContent.slice(0, 60)}`);
      """;

  private static final String SMALL_TARGETS =
      """
      const small = (n) => {
        const { width, height } = n.getBoundingClientRect();
        return width < 48 || height < 48;
      };
      return [...document.querySelectorAll('a, button, input, select, summary, textarea')]
        .filter((n) => n.checkVisibility() && !n.matches('.unseen') && small(n))
        .filter((n) => !n.closest('label') || small(n.closest('label')))
        .map((n) => `${n.tagName} ${n.id} ${n.textContent || n.value}`);
      """;

  /** What lies wholly under something that stays in sight, once it has the focus. */
  private static final String COVERED =
      """
      const all = [...document.querySelectorAll('a, button, input, select, summary, textarea')];
      const seen = (n) => {
        const { left, top, right, bottom } = n.getBoundingClientRect();
        return [0.1, 0.5, 0.9].some((x) => [0.1, 0.3, 0.5, 0.7, 0.9].some((y) => {
          const at = document.elementFromPoint(left + x * (right - left), top + y * (bottom - top));
          return at && (n.contains(at) || at.contains(n) && at !== document.body
            && at !== document.documentElement);
        }));
      };
      const places = [
        ({ top }) => top, ({ bottom }) => bottom - innerHeight]; // as far up and down as it goes
      const covered = [];
      for (const n of all.filter((one) => one.checkVisibility() && !one.disabled)) {
        for (const place of places) {
          document.activeElement?.blur();
          window.scrollTo({ top: scrollY + place(n.getBoundingClientRect()), behavior: 'instant' });
          n.focus();
          const shown = n.closest('label') ?? n;
          if (document.activeElement === n && !n.matches('.unseen') && !seen(shown)) {
            covered.push(`${n.tagName} ${n.id} ${n.textContent}`);
          }
        }
      }
      return covered;
      """;

  /**
   * Axe's findings. It is run as it stands in the page: its builder would send it over once more
   * for each look, and open a window to sum up in, which takes longer than the look.
   */
  private static final String VIOLATIONS =
      """
      const { violations } = await axe.run(document, {
        resultTypes: ['violations'],
        rules: { 'target-size': { enabled: true } }, // of WCAG 2.2, and off unless asked for
      });
      return violations.map(({ id, help, nodes }) =>
        [`${id}: ${help}`, ...nodes.map((n) => n.html)].join('\\n  '));
      """;

  private static final String AXE = axe();

  private PageChecks() {}

  private static String axe() {
    try (InputStream script = PageChecks.class.getResourceAsStream("/axe.min.js")) {
      return new String(
          Objects.requireNonNull(script, "axe.min.js").readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Elements that wear the colour of "act now". */
  private static final String RED =
      """
      const colour = document.createElement('i');
      colour.style.color = 'var(--act)';
      document.body.append(colour);
      const act = getComputedStyle(colour).color;
      colour.remove();
      const sides = ['Top', 'Right', 'Bottom', 'Left'];
      return [...document.querySelectorAll('body *')].filter((n) => n.checkVisibility()).filter((n) => {
        const s = getComputedStyle(n);
        return [s.color, s.backgroundColor, s.fill, s.stroke].includes(act) || sides.some((side) =>
          s[`border${side}Color`] === act && parseFloat(s[`border${side}Width`]) > 0);
      }).map((n) => `${n.tagName}.${n.className}`);
      """;

  /** Nothing scrolls sideways, nothing is cut, and what is to be pressed is large. */
  public static void everythingFits(Browser browser) {
    assertThat(list(browser, CUT_OFF)).as("cut off").isEmpty();
    assertThat(list(browser, SMALL_TARGETS)).as("too small to press").isEmpty();
    assertThat(
            browser
                .driver()
                .executeScript("return document.documentElement.scrollWidth <= innerWidth;"))
        .as("no sideways scrolling")
        .isEqualTo(true);
  }

  /** What has the focus is seen (WCAG 2.2, success criterion 2.4.11). */
  static void focusIsSeen(Browser browser) {
    assertThat(list(browser, COVERED)).as("has the focus, and is covered").isEmpty();
  }

  /** What wears the colour of "act now": for a high alarm that calls for somebody, nothing else. */
  static List<?> red(Browser browser) {
    return list(browser, RED);
  }

  /** The computed colour of the first match, and whether it is that of words that matter less. */
  static boolean isQuiet(Browser browser, String css) {
    return Boolean.TRUE.equals(
        browser
            .driver()
            .executeScript(
                """
                const colour = document.createElement('i');
                colour.style.color = 'var(--quiet)';
                document.body.append(colour);
                const quiet = getComputedStyle(colour).color;
                colour.remove();
                return getComputedStyle(document.querySelector(arguments[0])).color === quiet;
                """,
                css));
  }

  /** From the next page on this device shows weights, volumes and temperatures so. */
  static void chooseUnits(Browser browser, String mass, String volume, String temperature) {
    browser
        .driver()
        .executeScript(
            """
            ['mass', 'volume', 'temperature'].forEach((kind, i) =>
              localStorage.setItem(`opercle-unit-${kind}`, arguments[i]));
            """,
            mass,
            volume,
            temperature);
  }

  /** The device shows kg, L and °C again. */
  static void forgetUnits(Browser browser) {
    browser
        .driver()
        .executeScript(
            """
            ['mass', 'volume', 'temperature'].forEach((kind) =>
              localStorage.removeItem(`opercle-unit-${kind}`));
            """);
  }

  /**
   * Figures and labels of the page in kg, L or °C that have a unit of the device's own. Cylinders,
   * gas, concentrations and what is per kilogram have not: they are as on the meters and bottles.
   */
  static List<String> inOtherUnits(Browser browser) {
    Matcher figure = OTHER_UNITS.matcher(browser.text("main"));
    return figure.results().map(found -> found.group().strip()).toList();
  }

  /**
   * Words of programs and of standards, raw codes, bounds in brackets, and figures with more digits
   * than a meter has. What stands in {@code code} is a name that a probe or a person has chosen.
   */
  static List<String> notKeepersWords(Browser browser) {
    String said =
        String.valueOf(
            browser
                .driver()
                .executeScript(
                    """
                    const codes = [...document.querySelectorAll('code')];
                    codes.forEach((n) => n.style.display = 'none');
                    const named = [...document.querySelectorAll('[aria-label]')]
                      .filter((n) => n.checkVisibility()).map((n) => n.ariaLabel);
                    const said = [document.body.innerText, ...named].join('\\n');
                    codes.forEach((n) => n.style.display = '');
                    return said;
                    """));
    return JARGON.matcher(said).results().map(found -> found.group().strip()).toList();
  }

  /** Axe finds nothing. */
  public static void accessible(Browser browser) {
    boolean there =
        Boolean.TRUE.equals(browser.driver().executeScript("return typeof axe === 'object';"));
    if (!there) {
      browser.driver().executeScript(AXE);
    }
    assertThat(browser.run(VIOLATIONS)).as("violations").isEqualTo(List.of());
  }

  /** The paths asked for since the last call; fails if anything was asked of another server. */
  public static Set<String> pathsAskedFor(Browser browser, String root) {
    Set<String> paths = new TreeSet<>();
    for (String request : browser.requests()) {
      Matcher url = URL.matcher(request);
      assertThat(url.find()).as(request).isTrue();
      if (url.group(1).startsWith("data:")) {
        continue; // the browser's own drawing of a date field: asked of nobody
      }
      assertThat(url.group(1)).startsWith(root);
      paths.add(url.group(1).substring(root.length()));
    }
    return paths;
  }

  private static List<?> list(Browser browser, String script) {
    return (List<?>) Objects.requireNonNull(browser.driver().executeScript(script), "no list");
  }
}
