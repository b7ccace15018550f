// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static opercle.dashboard.web.DoneAtTanks.hoursAgo;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import opercle.analysis.records.Entry;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.openqa.selenium.Keys;
import org.openqa.selenium.WebElement;

/** What the traces of a tank are marked with, and what they say where one points, in a browser. */
class TraceMarksPageTest extends InTheBrowser {

  private static final Instant SALTED = hoursAgo(6.0);
  private static final String SALT = "Put in 4 kg of salt (Maren, written down 14 Mar, 02:11)";

  /** The traces of {@link FakeTraces} with a second oxygen probe. */
  private static final Traces TWO_PROBES =
      new Traces() {
        private final Traces one = new FakeTraces();

        @Override
        public List<Series> series(String tank) {
          List<Series> all = new ArrayList<>(one.series(tank));
          all.add(new Series(tank, Quantity.OXYGEN, "2"));
          return all;
        }

        @Override
        public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
          double less = series.probe().equals("2") ? 1.0 : 0.0;
          return one.buckets(series, from, to, count).stream()
              .map(
                  b ->
                      new Bucket(
                          b.start(), b.min() - less, b.mean() - less, b.max() - less, b.count()))
              .toList();
        }

        @Override
        public List<Reading> readings(Series series, Instant from, Instant to) {
          return one.readings(series, from, to);
        }
      };

  @TempDir Path folder;
  private final FakeFarm farm = FakeFarm.quiet();
  private KeptAlarms kept;
  private DashboardServer server;

  @BeforeEach
  void start() {
    kept = closing(KeptAlarms.in(folder));
    DoneAtTanks done = new DoneAtTanks(kept.book());
    done.write("entry-0001", Entry.Kind.SALT, "h2", SALTED, Map.of("kg", 4));
    done.write(
        "entry-0002", Entry.Kind.WATER_CHANGE, "h2", hoursAgo(20 * 24), Map.of("litres", 300));
    done.press("h2", TankEvent.Kind.FED, hoursAgo(2.0), "Tove");
    serve(new FakeTraces());
  }

  private void serve(Traces traces) {
    server = serve(farm, traces, kept.past());
  }

  @AfterEach
  void nothingWentWrong() {
    assertThat(browser.complaints()).isEmpty();
  }

  private void look() {
    go("/tank/h2");
    browser.until("three traces are drawn", () -> browser.all(".surface canvas").size() == 3);
    browser.until("the marks are counted", () -> browser.text("#marks p").contains("in this time"));
  }

  @Test
  void marks_areGoneTo_byKeys_andLieAtTheirTime() {
    look();
    assertThat(browser.text("#marks p")).startsWith("3 marks in this time");

    browser.all("#marks button").get(0).sendKeys(Keys.ENTER);
    assertThat(browser.text("#marks p")).matches("Mark 3 of 3\\. .*, 00:11: Fed \\(Tove\\)");
    browser.all("#marks button").get(0).sendKeys(Keys.SPACE);

    assertThat(browser.text("#marks p")).startsWith("Mark 2 of 3. ").endsWith(": " + SALT);
    assertThat(shareOfTheAxis()).as("six of 24 hours before the end").isBetween(0.74, 0.76);
    assertThat(flagInk()).as("its flag is drawn there, and not elsewhere").isEqualTo("true false");
    assertThat(browser.text(".readout")).contains(SALT, "the average of");
    browser.all("#marks button").get(0).sendKeys(Keys.ENTER);
    assertThat(browser.text("#marks p"))
        .as("alarms are among them")
        .contains("Gas has stopped (Act now)");
  }

  @Test
  void mark_isLetGo_byTheKeysThatReadAlongATrace() {
    look();
    browser.all("#marks button").get(0).click();
    assertThat(browser.text(".readout")).contains("Fed (Tove)");
    double there = shareOfTheAxis();

    WebElement surface = browser.find(".surface");
    surface.sendKeys(Keys.chord(Keys.SHIFT, Keys.ARROW_LEFT));
    double before = shareOfTheAxis();
    assertThat(before).isLessThan(there - 0.01);
    drawnAgain();
    assertThat(shareOfTheAxis()).as("stays there").isCloseTo(before, within(0.005));

    browser.all("#marks button").get(0).click();
    surface.sendKeys(Keys.ESCAPE);
    drawnAgain();
    assertThat(browser.text(".readout")).startsWith("Lowest ");
  }

  /** The traces go along with the time: waits until all of them have done so. */
  private static void drawnAgain() {
    browser.run(
        """
        const of = CanvasRenderingContext2D.prototype;
        const clear = of.clearRect;
        const drawn = new Map();
        await new Promise((done) => {
          of.clearRect = function (...where) {
            drawn.set(this, (drawn.get(this) ?? 0) + 1);
            if (drawn.size >= 3 && Math.min(...drawn.values()) >= 2) done();
            return clear.apply(this, where);
          };
        });
        of.clearRect = clear;
        return true;
        """);
  }

  @Test
  void marks_areTappedOnThePhone_inTheKeepersOwnUnits_andTheTableListsThem() {
    browser.phone();
    look();
    browser.run("localStorage.setItem('opercle-unit-mass', 'lb'); return true;");
    try {
      look();
      browser.run(
          "document.querySelector('.surface').scrollIntoView({block: 'center'}); return 1;");
      int x = place("o.left + 0.75 * o.width");
      int y = place("o.top + o.height / 2");
      browser.touch("touchStart", x, y);
      browser.touch("touchEnd");

      browser.until("its words are told", () -> browser.text(".readout").contains("Put in 8.8 lb"));
      browser.run("document.querySelector('#table').open = true; return true;");
      browser.until(
          "the table lists it",
          () -> browser.text("#table").contains("Put in 8.8 lb of salt (Maren"));
      assertThat(browser.text("#table")).contains("Fed (Tove)", "Each row is of the time");
      PageChecks.everythingFits(browser);
      PageChecks.accessible(browser);
    } finally {
      browser.run("localStorage.clear(); return true;");
    }
  }

  @Test
  void month_isMarkedToo() {
    look();
    browser.all("#spans button").get(4).click();

    browser.until("a month's marks", () -> browser.text("#marks p").startsWith("4 marks"));
    browser.all("#marks button").get(1).click();
    browser.until("one is gone to", () -> browser.text("#marks p").startsWith("Mark 1 of 4"));
    assertThat(browser.text("#marks p")).contains("Changed 300 L of water (Maren");
    assertThat(shareOfTheAxis()).as("ten of 30 days in").isBetween(0.32, 0.345);
  }

  @Test
  void pointedValue_saysWhatItIs_andProbesAreNamedInWords() {
    server.close();
    serve(TWO_PROBES);
    look();

    browser.all("#marks button").get(0).click();

    assertThat(browser.text(".readout"))
        .matches(
            "(?s).*\\d\\d:\\d\\d:\\d\\d to \\d\\d:\\d\\d:\\d\\d: probe 1 \\d\\.\\d mg/L, the average of"
                + " \\d+ readings \\(least \\d\\.\\d, most \\d\\.\\d\\); probe 2 .*");
    assertThat(browser.text(".probe-lines"))
        .contains("Probe 1: solid line", "Probe 2: dashed line");
    PageChecks.accessible(browser);
  }

  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void traces_sayWhereTheyAreFrom(boolean phone) {
    if (phone) {
      browser.phone();
    }
    look();

    browser.press("section[aria-labelledby=traces-heading] .whence summary");

    browser.until(
        "it is said once the traces are there",
        () ->
            browser.text("section[aria-labelledby=traces-heading] .whence").contains("Saturated:"));
    assertThat(browser.text("section[aria-labelledby=traces-heading] .whence"))
        .contains("the average of what the probe read", "Read by oxygen probe 1");
    browser.run("document.querySelector('#table').open = true; return true;");
    browser.until(
        "the table, too", () -> browser.text("#table").contains("the average of all readings"));
    assertThat(PageChecks.notKeepersWords(browser)).isEmpty();
  }

  /** Where on the axis the first trace's pointer is, 0 to 1 of the span shown. */
  private static double shareOfTheAxis() {
    return Double.parseDouble(
        String.valueOf(
            browser.run(
                """
                const over = document.querySelector('.u-over').getBoundingClientRect();
                const line = document.querySelector('.u-cursor-x').getBoundingClientRect();
                return (line.left - over.left) / over.width;
                """)));
  }

  /**
   * Whether a flag stands at the foot of the first trace at three quarters, and at 65 of a hundred.
   */
  private static Object flagInk() {
    return browser.run(
        """
        const c = document.querySelector('.surface canvas');
        const o = document.querySelector('.u-over');
        const row = c.getContext('2d').getImageData(o.offsetLeft, o.offsetTop + o.offsetHeight - 4, o.offsetWidth, 1).data;
        const inked = (share) => Array.from({ length: 8 }, (_, i) => Math.round(share * o.offsetWidth) + i - 3)
          .some((x) => row[4 * x + 3] > 200);
        return `${inked(0.75)} ${inked(0.65)}`;
        """);
  }

  private static int place(String of) {
    return (int)
        Double.parseDouble(
            String.valueOf(
                browser.run(
                    "const o = document.querySelector('.u-over').getBoundingClientRect(); return "
                        + of
                        + ";")));
  }
}
