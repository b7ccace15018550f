// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripLog;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a movement's papers lack is said where the trip is started, and on its record. */
class TripMovementsTest {

  private final FakeFarm farm = FakeFarm.quiet();

  @TempDir Path folder;

  @Test
  void movementThatLeavesNow_isOffered_withWhatItsPapersLack() throws Exception {
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      RecordBook records = new RecordBook(book, "Sallowmere");
      keep(records, "water-stew", Entry.Kind.WATER, Map.of("name", "Stew 2", "type", "pond"));
      keep(
          records, "water-long", Entry.Kind.WATER, Map.of("name", "Long Water", "type", "fishery"));
      movement(records, "movement-now", Duration.ofHours(3));
      movement(records, "movement-old", Duration.ofDays(-30));
      try (DashboardServer server =
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
                      KeptTrips.in(book),
                      () -> Optional.of(records),
                      Optional::empty,
                      Optional::empty),
                  new RecordsApi(
                      () -> Optional.of(records),
                      PastAlarms.NONE.zone(),
                      farm::now,
                      "Sallowmere")))) {
        JsonNode trips = get(server, "/api/v1/trips");
        assertThat(trips.path("movements").findValuesAsText("id")).containsExactly("movement-now");
        assertThat(trips.path("movements").get(0).path("prompts").toString())
            .contains("No consignment note");
        JsonNode kept = get(server, "/api/v1/records/movements?year=" + year());
        assertThat(kept.path("movements").toString()).contains("No consignment note");
        assertThat(get(server, "/api/v1/trips/under-way").path("report").toString())
            .as("a record that nobody has written")
            .contains("“2026-014” is not in the records here");
      }
    }
  }

  /** A permit to yesterday, a movement of yesterday, and a trip that begins today. */
  @Test
  void papers_areLookedAtForTheHoursOfTheTrip_notForThoseOfTheRecordAlone() throws Exception {
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      RecordBook records = new RecordBook(book, "Sallowmere");
      keep(records, "water-stew", Entry.Kind.WATER, Map.of("name", "Stew 2", "type", "pond"));
      keep(
          records, "water-long", Entry.Kind.WATER, Map.of("name", "Long Water", "type", "fishery"));
      Instant yesterday = farm.now().minus(Duration.ofHours(24));
      keep(
          records,
          "permit-site",
          Entry.Kind.PERMIT,
          Map.of(
              "type",
              "site-permit",
              "reference",
              "SP-1",
              "water",
              "water-long",
              "until",
              yesterday.atZone(PastAlarms.NONE.zone()).toLocalDate().toString()));
      keep(
          records,
          "movement-late",
          Entry.Kind.MOVEMENT,
          Map.of(
              "species",
              "Common carp",
              "count",
              50,
              "from",
              "water-stew",
              "to",
              "water-long",
              "departs",
              yesterday.toString(),
              "arrives",
              yesterday.plusSeconds(60).toString(),
              "permits",
              List.of("permit-site")));
      TripRecords trips = new TripRecords(book, "Sallowmere");
      TripDesk desk =
          new TripDesk(
              farm,
              new FakeTraces(),
              PastAlarms.NONE,
              () -> Optional.of(trips),
              () -> Optional.of(records));

      assertThat(desk.papers().toGo(OptionalDouble.of(60.0)))
          .singleElement()
          .satisfies(m -> assertThat(m.prompts().toString()).contains("SP-1 ends on"));
      Loaded plain = KeptTrips.underWay("late");
      TripLog log =
          trips.begin(
              new Loaded(
                  plain.id(),
                  plain.time(),
                  plain.by(),
                  plain.corrects(),
                  plain.trip().withMovement("movement-late")));
      assertThat(desk.report(desk.review(log)).sections().toString())
          .contains("they left on")
          .contains("SP-1 ends on");
      desk.papers().requireKnown(log.trip());
      assertThatThrownBy(() -> desk.papers().requireKnown(log.trip().withMovement("29 November")))
          .isInstanceOf(Problem.class);
    }
  }

  private int year() {
    return farm.now().plus(Duration.ofHours(3)).atZone(PastAlarms.NONE.zone()).getYear();
  }

  private void movement(RecordBook records, String id, Duration leaves) {
    String departs = farm.now().plus(leaves).toString();
    String arrives = farm.now().plus(leaves).plus(Duration.ofHours(2)).toString();
    keep(
        records,
        id,
        Entry.Kind.MOVEMENT,
        Map.of(
            "species",
            "Common carp",
            "count",
            50,
            "from",
            "water-stew",
            "to",
            "water-long",
            "departs",
            departs,
            "arrives",
            arrives));
  }

  private void keep(RecordBook records, String id, Entry.Kind kind, Map<String, ?> fields) {
    RecordBook.Outcome outcome =
        records.keep(id, "Maren", farm.now(), Optional.empty(), EntryFields.read(kind, fields));
    assertThat(outcome).as(id).isNotInstanceOf(RecordBook.Outcome.Refused.class);
  }

  private static JsonNode get(DashboardServer server, String path) throws Exception {
    String body =
        HttpClient.newHttpClient()
            .send(
                HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path))
                    .build(),
                BodyHandlers.ofString())
            .body();
    return new ObjectMapper().readTree(body);
  }
}
