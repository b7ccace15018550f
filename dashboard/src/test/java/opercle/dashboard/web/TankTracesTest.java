// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A tank's page before its first answer, and the words in its traces, in a real browser. */
class TankTracesTest extends InTheBrowser {

  /**
   * Keeps each text that is drawn and how many points of the trace's colour lie where it is put.
   */
  private static final String WATCH_WORDS =
      """
      window.drawnWords = {};
      const write = CanvasRenderingContext2D.prototype.fillText;
      CanvasRenderingContext2D.prototype.fillText = function (words, x, y, ...rest) {
        const hex = getComputedStyle(document.documentElement).getPropertyValue('--water').trim();
        const water = [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16));
        const m = this.measureText(words);
        const [left, top] = [x - m.actualBoundingBoxLeft, y - m.actualBoundingBoxAscent];
        const { data } = this.getImageData(left, top,
          Math.max(1, x + m.actualBoundingBoxRight - left), Math.max(1, y + m.actualBoundingBoxDescent - top));
        let covered = 0;
        for (let i = 0; i < data.length; i += 4) {
          covered += data[i + 3] > 100 && water.every((c, j) => Math.abs(data[i + j] - c) < 12) ? 1 : 0;
        }
        window.drawnWords[words] = Math.max(covered, window.drawnWords[words] ?? 0);
        return write.call(this, words, x, y, ...rest);
      };
      """;

  private final FakeFarm farm = FakeFarm.troubled();

  @Test
  void page_waitsForItsFirstAnswer_andDoesNotCallThatStale() {
    String held =
        browser.before(
            "const ask = window.fetch; window.fetch = (what, how) =>"
                + " String(what).includes('/api/v1/tanks') ? new Promise(() => {}) : ask(what, how);");
    serve(farm, new FakeTraces(), PastAlarms.NONE);
    try {
      browser.phone();
      go("/tank/h2");
      browser.until("it listens", () -> !browser.text("#clock").isEmpty() || isHeard());

      assertThat(browser.text("#now")).contains("waiting for the first answer");
      assertThat(browser.text("#now")).doesNotContain("stale", "min");
      assertThat(browser.find("#now .rule").isDisplayed()).as("no rule with marks at 0").isFalse();
      assertThat(browser.all("#now .stale")).allMatch(chip -> !chip.isDisplayed());
      assertThat(browser.all("#now [data-stale=true]")).isEmpty();
      PageChecks.accessible(browser);
      assertThat(browser.complaints()).isEmpty();
    } finally {
      browser.noLonger(held);
    }
  }

  /** Whether the live stream has said something: on a phone the clock is not shown. */
  private static boolean isHeard() {
    return Boolean.TRUE.equals(
        browser
            .driver()
            .executeScript("return document.getElementById('clock').textContent !== '';"));
  }

  /** The same fall with oxygen as measured, and with so much that it runs along the saturation. */
  @ParameterizedTest
  @CsvSource({"light, 0.0", "light, 1.9", "dark, 0.0", "dark, 1.9"})
  void words_lieOverNoTrace_inEitherForm(String light, double moreMgPerL) {
    String watching = browser.before(WATCH_WORDS);
    browser.prefers(light);
    serve(farm, withMore(moreMgPerL), PastAlarms.NONE);
    try {
      for (boolean phone : new boolean[] {false, true}) {
        if (phone) {
          browser.phone();
        } else {
          browser.desk();
        }
        go("/tank/h2");
        browser.until("the traces are drawn", () -> browser.all(".surface canvas").size() == 3);
        browser.until("they have words", () -> drawn().containsKey("critical floor 2.5"));

        Map<String, Long> drawn = drawn();
        assertThat(drawn).as("%s, phone: %s", light, phone).containsKey("keep floor 6.0");
        for (String words : List.of("saturated", "if it goes on so")) {
          assertThat(drawn.containsKey(words) || browser.text(".chart").contains(words))
              .as("%s is said", words)
              .isTrue();
        }
        assertThat(drawn.values()).as("%s, phone: %s, %s", light, phone, drawn).containsOnly(0L);
      }
    } finally {
      browser.noLonger(watching);
      browser.complaints(); // the browser does not like how often this test looks at a drawing
    }
  }

  /** On a device in another zone, whose midnights are other instants. */
  @Test
  void footOfTheTraces_hasTheFarmsDays() {
    String watching =
        browser.before(
            "window.written = []; const write = CanvasRenderingContext2D.prototype.fillText;"
                + "CanvasRenderingContext2D.prototype.fillText = function (words, ...rest) {"
                + " window.written.push(words); return write.call(this, words, ...rest); };");
    farm.zone(ZoneId.of("America/New_York"));
    serve(farm, new FakeTraces(), PastAlarms.NONE);
    try {
      go("/tank/h2");
      browser.until("the traces are drawn", () -> browser.all(".surface canvas").size() == 3);
      browser.run(
          "window.written = []; [...document.querySelectorAll('#spans button')]"
              + ".find((b) => b.textContent === '30 days').click(); return true;");
      browser.until("days are written", () -> written().contains(" Feb"));

      assertThat(written()).doesNotContainPattern("\\d\\d:\\d\\d");
    } finally {
      browser.noLonger(watching);
    }
  }

  private static String written() {
    return String.valueOf(browser.run("return window.written.join(' | ');"));
  }

  /** How much of a trace lies under each of the words drawn so far, points. */
  private static Map<String, Long> drawn() {
    Map<String, Long> drawn = new TreeMap<>();
    if (browser.driver().executeScript("return window.drawnWords;") instanceof Map<?, ?> told) {
      told.forEach((words, covered) -> drawn.put(words.toString(), ((Number) covered).longValue()));
    }
    return drawn;
  }

  private static Traces withMore(double mgPerL) {
    Traces usual = new FakeTraces();
    return new Traces() {
      @Override
      public List<Series> series(String tank) {
        return usual.series(tank);
      }

      @Override
      public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
        double more = series.quantity() == Quantity.OXYGEN ? mgPerL : 0.0;
        return usual.buckets(series, from, to, count).stream()
            .map(
                b ->
                    new Bucket(
                        b.start(), b.min() + more, b.mean() + more, b.max() + more, b.count()))
            .toList();
      }

      @Override
      public List<Reading> readings(Series series, Instant from, Instant to) {
        return usual.readings(series, from, to);
      }
    };
  }
}
