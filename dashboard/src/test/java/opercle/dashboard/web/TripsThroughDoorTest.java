// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.TripDoor;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What an unloading over HTTP does at the farm, and not only to the trip. */
class TripsThroughDoorTest {

  private static final HttpClient CLIENT = HttpClient.newHttpClient();

  @TempDir Path folder;
  private FarmBook book;
  private FarmDesk desk;
  private DashboardServer server;

  @BeforeEach
  void start() {
    book = FarmBook.open(FarmBook.fileIn(folder));
    FakeFarm farm = FakeFarm.quiet();
    String name = farm.farm().name();
    desk = FarmDesk.open(new FarmRecords(book), farm.farm(), "farm.yaml", () -> FakeFarm.NIGHT);
    TripRecords trips = new TripRecords(book, name);
    RecordBook records = new RecordBook(book, name);
    TripDoor door =
        new TripDoor(
            trips, desk, new FarmRecords(book), new RecordBook(book, name), () -> FakeFarm.NIGHT);
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            farm,
            new FakeTraces(),
            PastAlarms.NONE,
            Optional.empty(),
            List.of(
                new TripRoutes(
                    farm,
                    new FakeTraces(),
                    PastAlarms.NONE,
                    () -> Optional.of(trips),
                    () -> Optional.of(records),
                    () -> Optional.of(new PhotoRecords(book, name)),
                    () -> Optional.of(new FarmRecords(book)),
                    Optional.of(door))));
  }

  @AfterEach
  void close() {
    server.close();
    book.close();
  }

  private HttpResponse<String> post(String path, String body) throws Exception {
    return CLIENT.send(
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path))
            .timeout(Duration.ofSeconds(60))
            .header("Content-Type", "application/json")
            .POST(BodyPublishers.ofString(body.replace('\'', '"')))
            .build(),
        BodyHandlers.ofString());
  }

  private double kg() {
    return new FarmRecords(book).newest().orElseThrow().farm().tank("t1").orElseThrow().loadKg();
  }

  @Test
  void unloading_takesTheLoadOutOfTheTank_inTheBook() throws Exception {
    assertThat(kg()).isPositive();
    HttpResponse<String> begun =
        post(
            "/api/v1/trips",
            "{'id':'trip-1','time':'"
                + FakeFarm.NIGHT.minusSeconds(3600)
                + "','by':'Maren','tank':'t1','from':'Holding 2','to':'Long Pool',"
                + "'expectedMinutes':60,'temperatureC':11.8,'cylinderBar':180}");
    assertThat(begun.statusCode()).as(begun.body()).isEqualTo(201);
    assertThat(kg()).as("aboard").isPositive();

    HttpResponse<String> out =
        post(
            "/api/v1/trips/trip-1/unloading",
            "{'id':'trip-1-out','time':'"
                + FakeFarm.NIGHT.minusSeconds(60)
                + "','by':'Maren','losses':[]}");
    assertThat(out.statusCode()).as(out.body()).isEqualTo(200);
    assertThat(kg()).isZero();
    assertThat(desk.farm().tank("t1").orElseThrow().isStocked()).isFalse();
  }

  @Test
  void withdrawnAfterItsUnloading_asksWhetherTheFishAreInTheTankAgain() throws Exception {
    double before = kg();
    unloading_takesTheLoadOutOfTheTank_inTheBook();
    String gone =
        post(
                "/api/v1/trips/trip-1/withdrawal",
                "{'id':'w-1','time':'" + FakeFarm.NIGHT + "','by':'Maren','why':'another tank'}")
            .body();
    JsonNode offer = new ObjectMapper().readTree(gone).path("tankLoad");
    assertThat(offer.path("now")).isEmpty();
    assertThat(offer.path("then").get(0).path("kg").asDouble()).isPositive();
    assertThat(kg()).as("never by itself").isZero();

    String answer = "{'by':'Tove','entry':'w-1','basedOn':%s,'do':'%s'}";
    assertThat(post("/api/v1/trips/trip-1/tank-load", answer.formatted(0, "put")).statusCode())
        .as("seen with another farm")
        .isEqualTo(409);
    assertThat(post("/api/v1/trips/trip-1/tank-load", answer.formatted(0, "drain")).statusCode())
        .isEqualTo(400);
    HttpResponse<String> put =
        post(
            "/api/v1/trips/trip-1/tank-load",
            answer.formatted(offer.path("basedOn").asLong(), "put"));
    assertThat(put.statusCode()).as(put.body()).isEqualTo(200);
    assertThat(new ObjectMapper().readTree(put.body()).has("tankLoad")).isFalse();
    assertThat(kg()).isEqualTo(before);
  }
}
