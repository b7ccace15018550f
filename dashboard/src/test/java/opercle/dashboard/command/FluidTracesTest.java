// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import opercle.dashboard.web.Browser;
import opercle.dashboard.web.DashboardServer;
import opercle.dashboard.web.DashboardSettings;
import opercle.dashboard.web.PastAlarms;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.store.SqliteReadings;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The three traces of a tank under fingers and keys: a day of a reading a second, and a month. They
 * follow at every frame, and a dip of one single reading shows however far out one looks.
 */
class FluidTracesTest {

  private static final Duration DAY_DIP = Duration.ofHours(10).plusMinutes(17);
  private static final Duration MONTH_DIP = Duration.ofDays(20).plusMinutes(77);

  /** A frame at 60 a second; under 20 a second movement is seen as steps (common practice). */
  private static final double FRAME_MS = 1000.0 / 60.0;

  private static final double SEEN_AS_STEPS_MS = 50.0;

  @TempDir private static Path folder;
  private static Instant end;
  private static SqliteReadings store;
  private static DashboardServer server;
  private static Browser browser;

  @BeforeAll
  static void open() {
    browser = Browser.open();
    store = SqliteReadings.open(folder.resolve("readings.db"));
    end = Instant.now();
    FilledStore.traces(
        store, end.minus(Duration.ofHours(25)), Duration.ofDays(30), Duration.ofMinutes(1));
    FilledStore.traces(store, end, Duration.ofHours(25), Duration.ofSeconds(1));
    dip(MONTH_DIP, 1.0);
    dip(DAY_DIP, 2.0);
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            new ManyTanks(1),
            new StoredTraces(store),
            PastAlarms.NONE);
  }

  private static void dip(Duration before, double mgPerL) {
    Instant at = end.minus(before).plusMillis(500); // between two others
    store.accept(List.of(new Reading("h1", Quantity.OXYGEN, "1", at, mgPerL)));
  }

  @AfterAll
  static void close() {
    browser.close();
    server.close();
    store.close();
  }

  @AfterEach
  void leave() {
    browser.go("about:blank");
  }

  private static void look(String hours) {
    browser.go("http://127.0.0.1:" + server.port() + "/tank/h1");
    browser.until("charts", () -> browser.all("canvas").size() >= FilledStore.TRACES.size());
    press(hours);
  }

  private static void press(String hours) {
    browser.run(
        "[...document.querySelectorAll('#spans button')].find((b) => b.textContent === '%s').click();"
                .formatted(hours)
            + "return true;");
  }

  private static String overview() {
    return browser.text(".chart .readout");
  }

  @ParameterizedTest(name = "{0}")
  @CsvSource({"24 h, 2.0", "30 days, 1.0"})
  void traces_followFingersAndKeys_atEveryFrame(String span, String lowest) {
    double slowdown = Slowdown.of(browser);
    look(span);
    browser.until("the dip", () -> overview().startsWith("Lowest " + lowest));
    browser.driver().executeCdpCommand("Performance.enable", Map.of());
    Map<String, Double> before = BrowserMetrics.of(browser);
    Object answer =
        browser.run(
            """
            const surface = document.querySelector('.surface');
            const over = surface.querySelector('.u-over');
            const { left, width, top } = over.getBoundingClientRect();
            const frame = () => new Promise(requestAnimationFrame);
            const finger = (kind, id, x) => over.dispatchEvent(new PointerEvent(kind,
              { pointerId: id, pointerType: 'touch', clientX: left + width * x, clientY: top + 20, bubbles: true }));
            const key = (name) => surface.dispatchEvent(new KeyboardEvent('keydown', { key: name, bubbles: true }));
            const times = [];
            const step = async (act) => {
              act();
              const start = performance.now();
              await frame();
              times.push(performance.now() - start);
            };
            await frame();
            finger('pointerdown', 1, 0.3);
            for (let i = 0; i <= 40; i += 1) await step(() => finger('pointermove', 1, 0.3 + 0.5 * i / 40));
            finger('pointerdown', 2, 0.9);
            for (let i = 0; i <= 40; i += 1) await step(() => finger('pointermove', 2, 0.9 - 0.05 * i / 40));
            for (let i = 0; i <= 40; i += 1) await step(() => finger('pointermove', 1, 0.8 - 0.6 * i / 40));
            finger('pointerup', 1, 0.2);
            finger('pointerup', 2, 0.85);
            for (let i = 0; i < 40; i += 1) {
              await step(() => key(['+', '-', 'ArrowLeft', 'ArrowRight'][Math.floor(i / 10)]));
            }
            times.sort((a, b) => a - b);
            return [times.length, times[Math.floor(times.length / 2)], times[Math.floor(0.95 * times.length)]];
            """);
    Map<String, Double> after = BrowserMetrics.of(browser);
    assertThat(answer).isInstanceOf(List.class);
    List<?> told = (List<?>) answer;
    double frames = BrowserMetrics.number(told.get(0));
    double median = BrowserMetrics.number(told.get(1));
    double most = BrowserMetrics.number(told.get(2));
    double work = 1000.0 * BrowserMetrics.spent("TaskDuration", before, after) / frames;

    press(span); // back, however far that led
    browser.until("the dip again", () -> overview().startsWith("Lowest " + lowest));
    slowdown = 0.5 * (slowdown + Slowdown.of(browser));
    System.out.printf(
        Locale.ROOT,
        "%s of three traces under fingers and keys: %.0f frames, median %.1f ms, 95 %% under %.1f"
            + " ms, %.1f ms of work a frame; slowed by others %.2f times%n",
        span,
        frames,
        median,
        most,
        work,
        slowdown);
    assertThat(frames).isGreaterThan(150.0);
    assertThat(work).as("ms of work a frame").isBetween(0.01, FRAME_MS * slowdown);
    assertThat(most).as("ms, 95 of 100 frames").isLessThan(SEEN_AS_STEPS_MS * slowdown);
  }

  @ParameterizedTest(name = "{0}")
  @CsvSource({"24 h, 2.0", "30 days, 1.0"})
  void dipOfOneReading_isDrawn_told_andInTheTable(String span, String lowest) {
    look(span);
    browser.until("the dip", () -> overview().startsWith("Lowest " + lowest));
    boolean day = span.equals("24 h");
    String where = // shares of the width, from the left
        day
            ? "[%f]".formatted(1.0 - DAY_DIP.toMinutes() / (24.0 * 60.0))
            : "[%f, %f]"
                .formatted(
                    1.0 - MONTH_DIP.toMinutes() / (30.0 * 24.0 * 60.0),
                    1.0 - DAY_DIP.toMinutes() / (30.0 * 24.0 * 60.0));
    assertThat(browser.run(REACHING_DOWN.formatted(where))).isEqualTo("there");

    browser.run("document.querySelector('#table summary').click(); return true;");
    browser.until("the table", () -> browser.all("#table tbody tr").size() > 10);
    assertThat(browser.text("#table tbody")).contains("\t" + lowest + "\t");

    for (int closer = 0; day && closer < 2; closer++) { // the month's lies outside the middle
      browser.find(".surface").sendKeys("+");
      browser.untilAsked("/api/v1/tanks/h1/trace", FilledStore.TRACES.size());
      browser.until("the dip, closer", () -> overview().startsWith("Lowest " + lowest));
    }
  }

  /**
   * Where a trace reaches far down: columns of the chart that have the colour of the trace about
   * half way between it and the foot. Says {@code there} if they are where they must be, and none
   * is elsewhere.
   */
  private static final String REACHING_DOWN =
      """
      const canvas = document.querySelector('.surface canvas');
      const over = document.querySelector('.surface .u-over').getBoundingClientRect();
      const box = canvas.getBoundingClientRect();
      const scale = canvas.width / box.width;
      const [x0, y0, w, h] = [over.left - box.left, over.top - box.top, over.width, over.height].map((v) => Math.round(v * scale));
      const { data } = canvas.getContext('2d').getImageData(x0, y0, w, h);
      const at = (x, y) => data.slice(4 * (y * w + x), 4 * (y * w + x) + 4);
      const isWater = ([r, , b, alpha]) => alpha > 10 && b > r + 8; // the rest is sand and ink
      const columns = [];
      for (let x = 0; x < w; x += 1) {
        let found = 0;
        let rows = 0;
        for (let y = Math.round(0.45 * h); y < 0.7 * h; y += 1) {
          rows += 1;
          found += isWater(at(x, y)) ? 1 : 0;
        }
        if (found > 0.8 * rows) columns.push(x);
      }
      const expected = %s.map((share) => share * w);
      const isNear = (x) => (other) => Math.abs(x - other) < 5;
      return columns.every((x) => expected.some(isNear(x))) && expected.every((x) => columns.some(isNear(x)))
        ? 'there' : `at ${columns} and not at ${expected} of ${w}`;
      """;
}
