// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.javalin.config.RoutesConfig;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.TripDoor;
import org.jspecify.annotations.Nullable;

/**
 * The made-up farm with a book of trips, behind the addresses and pages of trips. What the book is
 * to hold and what else is to be served is said first, then {@link #serve}.
 */
public final class ServedTrips implements AutoCloseable {

  static final String FARM = "Sallowmere";

  private static final HttpClient CLIENT = HttpClient.newHttpClient();
  private static final ObjectMapper JSON = new ObjectMapper();

  final FakeFarm farm;
  final FarmBook book;
  final TripRecords trips;
  final RecordBook records;
  final FarmRecords versions;

  private final List<Consumer<RoutesConfig>> others = new ArrayList<>();
  private PastAlarms past = PastAlarms.NONE;
  private Optional<FarmRecords> known = Optional.empty();
  private Optional<TripDoor> door = Optional.empty();
  private @Nullable DashboardServer server;

  /** With the book in a folder, which is empty where there was none. */
  public ServedTrips(Path folder) {
    this(folder, FakeFarm.quiet());
  }

  ServedTrips(Path folder, FakeFarm farm) {
    this.farm = farm;
    book = FarmBook.open(FarmBook.fileIn(folder));
    trips = new TripRecords(book, FARM);
    records = new RecordBook(book, FARM);
    versions = new FarmRecords(book);
  }

  /** Also serves what else is kept of the farm. */
  ServedTrips with(Consumer<RoutesConfig> other) {
    others.add(other);
    return this;
  }

  ServedTrips with(PastAlarms alarms) {
    past = alarms;
    return this;
  }

  /** The pages know how the farm stood when. */
  ServedTrips withVersions() {
    known = Optional.of(versions);
    return this;
  }

  /** Entries are written with what follows from them at the farm, as they are where it is run. */
  public ServedTrips withDoor() {
    FarmDesk desk = FarmDesk.open(versions, farm.farm(), "farm.yaml", farm::now);
    door = Optional.of(new TripDoor(trips, desk, versions, new RecordBook(book, FARM), farm::now));
    return withVersions();
  }

  /** A trip whose line split, three days ago: {@link KeptTrips#splitLine}. */
  public ServedTrips withASplitLine(String id) {
    trips.take(KeptTrips.splitLine(id));
    return this;
  }

  /** Begins to answer. */
  public ServedTrips serve() {
    List<Consumer<RoutesConfig>> all = new ArrayList<>(others);
    all.add(
        new TripRoutes(
            farm,
            new FakeTraces(),
            past,
            () -> Optional.of(trips),
            () -> Optional.of(records),
            () -> Optional.of(new PhotoRecords(book, FARM)),
            () -> known,
            door));
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0), farm, new FakeTraces(), past, Optional.empty(), all);
    return this;
  }

  /** Where a path of the served pages is. */
  public String url(String path) {
    if (server == null) {
      throw new IllegalStateException("not served yet");
    }
    return "http://127.0.0.1:" + server.port() + path;
  }

  private static <T> HttpResponse<T> send(
      HttpRequest.Builder request, HttpResponse.BodyHandler<T> body)
      throws IOException, InterruptedException {
    return CLIENT.send(request.timeout(Duration.ofSeconds(60)).build(), body);
  }

  /** What is answered, whatever it is. */
  public HttpResponse<byte[]> bytes(String path) throws IOException, InterruptedException {
    return send(HttpRequest.newBuilder(URI.create(url(path))), BodyHandlers.ofByteArray());
  }

  HttpResponse<String> text(String path) throws IOException, InterruptedException {
    return send(HttpRequest.newBuilder(URI.create(url(path))), BodyHandlers.ofString());
  }

  /** What must be answered with 200, as JSON. */
  public JsonNode get(String path) throws IOException, InterruptedException {
    HttpResponse<String> answer = text(path);
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
    return JSON.readTree(answer.body());
  }

  /**
   * Sends JSON.
   *
   * @param body with single quotes for double ones, so that it can be read in a test
   */
  HttpResponse<String> post(String path, String body) throws IOException, InterruptedException {
    return postAsIs(path, body.replace('\'', '"'));
  }

  /** The same of a body that has single quotes of its own. */
  HttpResponse<String> postAsIs(String path, String body) throws IOException, InterruptedException {
    return send(
        HttpRequest.newBuilder(URI.create(url(path)))
            .header("Content-Type", "application/json")
            .POST(BodyPublishers.ofString(body)),
        BodyHandlers.ofString());
  }

  @Override
  public void close() {
    if (server != null) {
      server.close();
    }
    book.close();
  }
}
