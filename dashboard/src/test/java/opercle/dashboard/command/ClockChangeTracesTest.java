// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.IntStream;
import opercle.dashboard.web.Browser;
import opercle.dashboard.web.DashboardServer;
import opercle.dashboard.web.DashboardSettings;
import opercle.dashboard.web.PastAlarms;
import opercle.ingest.store.SqliteReadings;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * A day and a 24 h chart over the nights on which a farm's clocks change, from a real store with a
 * reading a minute, on a device in New York.
 */
class ClockChangeTracesTest {

  private static final ZoneId ZONE = ZoneId.of("Europe/London");
  private static final DateTimeFormatter DAY_AND_CLOCK =
      DateTimeFormatter.ofPattern("d MMM, HH:mm", Locale.UK);
  private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM", Locale.UK);
  private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm", Locale.UK);

  /** Of the width of a chart: three pixels. An hour is 0.04 of it. */
  private static final double NEAR = 0.005;

  /** Keeps what is written under the first chart, and how far along it. */
  private static final String WATCH_WORDS =
      """
      window.marks = [];
      const write = CanvasRenderingContext2D.prototype.fillText;
      CanvasRenderingContext2D.prototype.fillText = function (words, x, y, ...rest) {
        const surface = document.querySelector('.surface');
        if (surface?.contains(this.canvas)) {
          const { m41, m42 } = this.getTransform();
          const box = this.canvas.getBoundingClientRect();
          const over = surface.querySelector('.u-over').getBoundingClientRect();
          if (y + m42 > over.bottom - box.top) {
            marks.push({ words, share: (x + m41 - (over.left - box.left)) / over.width });
          }
        }
        return write.call(this, words, x, y, ...rest);
      };
      """;

  @TempDir private static Path folder;
  private static SqliteReadings store;
  private static Browser browser;

  @BeforeAll
  static void open() {
    browser = Browser.open();
    browser.zone("America/New_York");
    browser.before(WATCH_WORDS);
    store = SqliteReadings.open(folder.resolve("readings.db"));
    for (String end : List.of("2026-03-30T12:00:00Z", "2026-10-26T12:00:00Z")) {
      FilledStore.traces(store, Instant.parse(end), Duration.ofDays(2), Duration.ofMinutes(1));
    }
  }

  /** The farm at an instant, at which its time stands still. */
  private static DashboardServer at(Instant now) {
    return DashboardServer.start(
        DashboardSettings.onLoopback(0),
        new ManyTanks(1, InstantSource.fixed(now), ZONE),
        new StoredTraces(store),
        PastAlarms.NONE);
  }

  @AfterAll
  static void close() {
    browser.close();
    store.close();
  }

  @ParameterizedTest
  @CsvSource({"2026-03-29, 23", "2026-10-25, 25"})
  void dayOfTheFarm_isAsLongAsItIs_withoutAHoleOrADouble(LocalDate day, int hours)
      throws Exception {
    Instant from = day.atStartOfDay(ZONE).toInstant();
    Instant to = day.plusDays(1).atStartOfDay(ZONE).toInstant();
    assertThat(Duration.between(from, to)).hasHours(hours);
    String span = "?from=" + from + "&to=" + to;

    JsonNode trace;
    List<String> rows;
    try (DashboardServer server = at(to)) {
      trace = new ObjectMapper().readTree(get(server, "/api/v1/tanks/h1/trace" + span));
      rows =
          get(server, "/api/v1/tanks/h1/readings.csv" + span)
              .lines()
              .filter(line -> line.contains(",oxygen,"))
              .map(line -> line.substring(0, line.indexOf(',')))
              .toList();
    }

    long part = trace.path("partSeconds").asLong();
    assertThat(trace.path("from").asText()).isEqualTo(from.toString());
    assertThat(trace.path("to").asText()).isEqualTo(to.toString());
    assertThat(trace.at("/probes/0/points"))
        .extracting(point -> point.path(0).asLong())
        .containsExactlyElementsOf(
            IntStream.range(0, Math.toIntExact(hours * 3600L / part))
                .mapToObj(i -> from.getEpochSecond() + i * part)
                .toList());
    assertThat(rows).hasSize(60 * hours).doesNotHaveDuplicates().isSorted();
  }

  @ParameterizedTest
  @CsvSource({"2026-03-29T12:00:00Z", "2026-10-25T12:00:00Z"})
  void chartOf24Hours_isMarkedByTheFarmsClock_whereTheTimeIs(Instant end) {
    try (DashboardServer server = at(end)) {
      browser.go("http://127.0.0.1:" + server.port() + "/tank/h1");
      chartAndTable(end);
      browser.go("about:blank");
    }
  }

  private static void chartAndTable(Instant end) {
    browser.until("the chart", () -> marks().size() >= 6);
    browser.run("marks.length = 0; dispatchEvent(new Event('resize')); return 1;");
    browser.until("it is drawn again", () -> marks().size() >= 6);

    List<Map<String, Object>> marks = marks();
    Instant first = end.minus(Duration.ofHours(25));
    ZonedDateTime at = first.atZone(ZONE);
    double shareBefore = -1.0;
    List<ZonedDateTime> instants = new ArrayList<>();
    List<Double> shares = new ArrayList<>();
    for (Map<String, Object> mark : marks) {
      double share = Double.parseDouble(String.valueOf(mark.get("share")));
      if (share <= shareBefore) {
        break; // drawn once more
      }
      at = next(at, String.valueOf(mark.get("words")));
      instants.add(at);
      shares.add(share);
      shareBefore = share;
    }
    assertThat(instants).as(marks.toString()).hasSizeGreaterThanOrEqualTo(6);
    int last = instants.size() - 1;
    double length = seconds(instants.get(0), instants.get(last));
    for (int i = 0; i <= last; i++) {
      double expected =
          shares.get(0)
              + (shares.get(last) - shares.get(0))
                  * seconds(instants.get(0), instants.get(i))
                  / length;
      assertThat(Math.abs(shares.get(i) - expected))
          .as("%s in %s", instants.get(i), marks)
          .isLessThan(NEAR);
    }

    browser.find("#table summary").click();
    browser.until("the table", () -> browser.all("#table tbody tr").size() >= 24);
    assertThat(
            list(
                "return [...document.querySelectorAll('#table tbody th')].map((n) => n.textContent);"))
        .isEqualTo(
            IntStream.rangeClosed(1, 24)
                .mapToObj(hour -> words(end.minus(Duration.ofHours(hour)).atZone(ZONE)))
                .toList());
    assertThat(browser.text("#table tbody")).as("an hour without a reading").doesNotContain("–");
  }

  /** The next time at which the farm's clock shows these words. */
  private static ZonedDateTime next(ZonedDateTime after, String words) {
    ZonedDateTime at = after.plusMinutes(1).withSecond(0);
    for (int i = 0; i < 26 * 60; i++) {
      boolean isIt =
          (words.equals(DAY.format(at)) && CLOCK.format(at).equals("00:00"))
              || words.equals(CLOCK.format(at) + zoneWords(at));
      if (isIt) {
        return at;
      }
      at = at.plusMinutes(1);
    }
    throw new AssertionError(
        "the farm's clock does not show '%s' after %s".formatted(words, after));
  }

  private static String words(ZonedDateTime at) {
    return DAY_AND_CLOCK.format(at) + zoneWords(at);
  }

  /** Which of the two it is, in the hour that comes twice. */
  private static String zoneWords(ZonedDateTime at) {
    boolean isTwice = ZONE.getRules().getValidOffsets(at.toLocalDateTime()).size() == 2;
    return !isTwice ? "" : ZONE.getRules().isDaylightSavings(at.toInstant()) ? " BST" : " GMT";
  }

  private static double seconds(ZonedDateTime from, ZonedDateTime to) {
    return (double) Duration.between(from, to).toSeconds();
  }

  private static List<Map<String, Object>> marks() {
    return list("return marks;");
  }

  @SuppressWarnings("unchecked")
  private static <T> List<T> list(String script) {
    return (List<T>) browser.run(script);
  }

  private static String get(DashboardServer server, String path) throws Exception {
    return HttpClient.newHttpClient()
        .send(
            HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path)).build(),
            BodyHandlers.ofString())
        .body();
  }
}
