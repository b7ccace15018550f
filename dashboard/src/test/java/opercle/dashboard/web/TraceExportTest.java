// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.io.StringReader;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicInteger;
import opercle.analysis.trace.TraceReader;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Readings that leave as a file must come back as the readings they were. */
class TraceExportTest {

  private static final Instant FROM = Instant.parse("2026-03-14T00:30:00Z");
  private static final String SPAN = "?from=2026-03-14T00:30:00Z&to=2026-03-14T04:00:00Z";

  private final HttpClient client = HttpClient.newHttpClient();

  @Test
  void csv_readsBack_asTheReadingsThatWereKept() throws Exception {
    List<Reading> kept = everyQuantity();
    try (var server = serve(new Kept(kept))) {
      HttpResponse<String> file = get(server, "/api/v1/tanks/h2/readings.csv" + SPAN);

      assertThat(file.headers().firstValue("Content-Type").orElse("")).startsWith("text/csv");
      assertThat(file.headers().firstValue("Content-Disposition"))
          .contains("attachment; filename=\"sallowmere-h2-20260314T003000Z-20260314T040000Z.csv\"");
      assertThat(file.body())
          .startsWith(
              "time,tank,quantity,probe,value,unit\r\n2026-03-14T00:30:00Z,h2,oxygen,1,8.0,mg/L\r\n")
          .endsWith("\r\n");
      assertThat(read(file.body())).containsExactlyInAnyOrderElementsOf(kept);
      assertThat(read(file.body())).extracting(Reading::time).isSorted();
    }
  }

  @Test
  void senml_readsBack_asTheReadingsThatWereKept() throws Exception {
    List<Reading> kept = everyQuantity();
    try (var server = serve(new Kept(kept))) {
      HttpResponse<String> file = get(server, "/api/v1/tanks/h2/readings.senml" + SPAN);

      assertThat(file.headers().firstValue("Content-Type").orElse(""))
          .startsWith("application/senml+json");
      assertThat(file.headers().firstValue("Content-Disposition").orElse("")).contains(".senml\"");
      Map<String, Reading> byPlace = new java.util.TreeMap<>();
      for (Reading reading : senml(file.body())) {
        byPlace.put(reading.series() + "@" + reading.time(), reading);
      }
      assertThat(byPlace).hasSameSizeAs(kept);
      for (Reading reading : kept) {
        assertThat(byPlace.get(reading.series() + "@" + reading.time()))
            .satisfies(found -> assertThat(found.value()).isCloseTo(reading.value(), within(1e-9)));
      }
    }
  }

  @Test
  void monthOfReadings_isWrittenAsItIsRead_anHourAtATime() throws Exception {
    var long1Hz = new Endless();
    try (var server = serve(long1Hz)) {
      HttpResponse<java.io.InputStream> file =
          client.send(
              request(
                  server,
                  "/api/v1/tanks/h2/readings.csv?from=2026-02-14T00:00:00Z&to=2026-03-14T00:00:00Z"),
              BodyHandlers.ofInputStream());

      try (var in = file.body()) {
        assertThat(in.readNBytes(200_000)).hasSize(200_000);
        assertThat(long1Hz.asked.get()).as("hours read of 672").isLessThan(100);
      }
    }
    assertThat(long1Hz.longest).isEqualTo(Duration.ofHours(1));
  }

  @ParameterizedTest
  @ValueSource(strings = {"csv", "senml"})
  void exportThatBreaksOff_isNotTakenForAWhole(String ending) throws Exception {
    try (var server = serve(new Breaking())) {
      assertThatThrownBy(() -> get(server, "/api/v1/tanks/h2/readings." + ending + SPAN))
          .isInstanceOf(IOException.class);
    }
  }

  @Test
  void moreExportsThanAreRunAtOnce_areToldToWait() throws Exception {
    var waiting = new Waiting();
    try (var server = serve(waiting)) {
      for (int i = 0; i < TraceExport.MOST_AT_ONCE; i++) {
        var unused =
            client.sendAsync(
                request(server, "/api/v1/tanks/h2/readings.csv"), BodyHandlers.discarding());
      }
      waiting.inside.await();

      HttpResponse<String> one = get(server, "/api/v1/tanks/h2/readings.csv");
      waiting.go.countDown();

      assertThat(one.statusCode()).isEqualTo(503);
      assertThat(one.headers().firstValue("Retry-After")).contains("10");
    }
  }

  @Test
  void span_thatCannotBeExported_isRefused() throws Exception {
    try (var server = serve(new FakeTraces())) {
      assertThat(get(server, "/api/v1/tanks/h2/readings.csv?from=2020-01-01T00:00:00Z").body())
          .contains("is longer than 400 days");
      assertThat(get(server, "/api/v1/tanks/h9/readings.csv").statusCode()).isEqualTo(404);
    }
  }

  private static List<Reading> everyQuantity() {
    List<Reading> kept = new ArrayList<>();
    for (Quantity quantity : Quantity.values()) {
      for (int i = 0; i < 4; i++) {
        Instant time = FROM.plusMillis(i * 3_123_457L + (i == 0 ? 0 : quantity.id().length()));
        double value = quantity == Quantity.AIR_PRESSURE ? 101.3 : 8.0 - 0.37 * i;
        kept.add(new Reading("h2", quantity, i == 3 ? "deep" : "1", time, value));
      }
    }
    return kept;
  }

  private static List<Reading> read(String csv) throws IOException {
    List<Reading> readings = new ArrayList<>();
    try (var reader =
        new TraceReader(
            "file",
            new StringReader(csv),
            "h2"::equals,
            problem -> {
              throw new AssertionError(problem.toString());
            })) {
      for (Reading r = reader.next(); r != null; r = reader.next()) {
        readings.add(r);
      }
    }
    return readings;
  }

  /** Record by record, as a message of a probe may not be as large as a file. */
  private static List<Reading> senml(String file) {
    var decoder = new PayloadDecoder("h2"::equals, List.of());
    List<Reading> readings = new ArrayList<>();
    for (var record : Json.read(file.getBytes(UTF_8))) {
      byte[] pack = ("[" + record + "]").getBytes(UTF_8);
      var decoded = decoder.decode("tanks/h2", pack, FROM.plus(Duration.ofDays(1)));
      assertThat(decoded.rejections()).isEmpty();
      readings.addAll(decoded.readings());
    }
    return readings;
  }

  private static DashboardServer serve(Traces traces) {
    return DashboardServer.start(DashboardSettings.onLoopback(0), FakeFarm.quiet(), traces);
  }

  private HttpResponse<String> get(DashboardServer server, String path) throws Exception {
    return client.send(request(server, path), BodyHandlers.ofString());
  }

  private static HttpRequest request(DashboardServer server, String path) {
    return HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path))
        .timeout(Duration.ofSeconds(20))
        .build();
  }

  /** What a store would have. */
  private static class Kept implements Traces {
    private final List<Reading> kept;

    Kept(List<Reading> kept) {
      this.kept = kept;
    }

    @Override
    public List<Series> series(String tank) {
      return kept.stream().map(Reading::series).distinct().toList();
    }

    @Override
    public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
      return List.of();
    }

    @Override
    public List<Reading> readings(Series series, Instant from, Instant to) {
      return kept.stream()
          .filter(r -> r.series().equals(series))
          .filter(r -> !r.time().isBefore(from) && r.time().isBefore(to))
          .toList();
    }
  }

  /** Has a reading for every second that is asked for, and sees how much that is. */
  private static final class Endless extends Kept {
    private final AtomicInteger asked = new AtomicInteger();
    private volatile Duration longest = Duration.ZERO;

    Endless() {
      super(List.of(new Reading("h2", Quantity.OXYGEN, "1", FROM, 8.0)));
    }

    @Override
    public List<Reading> readings(Series series, Instant from, Instant to) {
      asked.incrementAndGet();
      Duration length = Duration.between(from, to);
      longest = length.compareTo(longest) > 0 ? length : longest;
      return from.getEpochSecond() % 3600 == 0
          ? java.util.stream.LongStream.range(from.getEpochSecond(), to.getEpochSecond())
              .mapToObj(s -> new Reading("h2", Quantity.OXYGEN, "1", Instant.ofEpochSecond(s), 8.0))
              .toList()
          : List.of();
    }
  }

  /** A store that fails in the third hour. */
  private static final class Breaking extends Kept {

    Breaking() {
      super(everyQuantity());
    }

    @Override
    public List<Reading> readings(Series series, Instant from, Instant to) {
      if (from.isAfter(FROM.plus(Duration.ofHours(1)))) {
        throw new IllegalStateException("the disk is gone");
      }
      return super.readings(series, from, to);
    }
  }

  /** A store that answers when it is let. */
  private static final class Waiting extends Kept {
    private final CountDownLatch inside = new CountDownLatch(TraceExport.MOST_AT_ONCE);
    private final CountDownLatch go = new CountDownLatch(1);

    Waiting() {
      super(everyQuantity());
    }

    @Override
    public List<Series> series(String tank) {
      inside.countDown();
      try {
        go.await();
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
      return super.series(tank);
    }
  }
}
