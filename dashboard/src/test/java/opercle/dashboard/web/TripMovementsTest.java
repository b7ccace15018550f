// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.databind.JsonNode;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.book.RecordBook;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripLog;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a movement's papers lack is said where the trip is started, and on its record. */
class TripMovementsTest {

  @TempDir Path folder;
  private ServedTrips served;
  private FakeFarm farm;

  @BeforeEach
  void open() {
    served = new ServedTrips(folder);
    farm = served.farm;
    keep("water-stew", Entry.Kind.WATER, Map.of("name", "Stew 2", "type", "pond"));
    keep("water-long", Entry.Kind.WATER, Map.of("name", "Long Water", "type", "fishery"));
  }

  @AfterEach
  void close() {
    served.close();
  }

  @Test
  void movementThatLeavesNow_isOffered_withWhatItsPapersLack() throws Exception {
    movement("movement-now", farm.now().plus(Duration.ofHours(3)), Duration.ofHours(2), List.of());
    movement("movement-old", farm.now().minus(Duration.ofDays(30)), Duration.ofHours(2), List.of());
    served.trips.begin(KeptTrips.underWay("under-way"));
    served.with(
        new RecordsApi(
            () -> Optional.of(served.records),
            PastAlarms.NONE.zone(),
            farm::now,
            ServedTrips.FARM));
    served.serve();

    JsonNode trips = served.get("/api/v1/trips");
    assertThat(trips.path("movements").findValuesAsText("id")).containsExactly("movement-now");
    assertThat(trips.path("movements").get(0).path("prompts").toString())
        .contains("No consignment note");
    JsonNode kept = served.get("/api/v1/records/movements?year=" + year());
    assertThat(kept.path("movements").toString()).contains("No consignment note");
    assertThat(served.get("/api/v1/trips/under-way").path("report").toString())
        .as("a record that nobody has written")
        .contains("“2026-014” is not in the records here");
  }

  /** A permit to yesterday, a movement of yesterday, and a trip that begins today. */
  @Test
  void papers_areLookedAtForTheHoursOfTheTrip_notForThoseOfTheRecordAlone() {
    Instant yesterday = farm.now().minus(Duration.ofHours(24));
    keep(
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
    movement("movement-late", yesterday, Duration.ofMinutes(1), List.of("permit-site"));
    TripDesk desk =
        new TripDesk(
            farm,
            new FakeTraces(),
            PastAlarms.NONE,
            () -> Optional.of(served.trips),
            () -> Optional.of(served.records));

    assertThat(desk.papers().toGo(OptionalDouble.of(60.0)))
        .singleElement()
        .satisfies(m -> assertThat(m.prompts().toString()).contains("SP-1 ends on"));
    Loaded plain = KeptTrips.underWay("late");
    TripLog log =
        served.trips.begin(
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

  @Test
  void tripUnderARecordForEachKind_isBegunWithAllOfThem_andWithNoneThatDoesNotStand()
      throws Exception {
    for (String id : List.of("record-carp", "record-tench", "record-roach")) {
      movement(id, farm.now(), Duration.ofHours(2), List.of());
    }
    served.serve();
    String start =
        "{'id':'%s','time':'%s','by':'Maren','tank':'t1','from':'','to':'',%s}"
            .formatted("mixed", farm.now(), "%s");
    String three =
        "'movementRecord':'record-carp','otherMovements':['record-tench','record-roach']";

    HttpResponse<String> begun = served.post("/api/v1/trips", start.formatted(three));

    assertThat(begun.statusCode()).as(begun.body()).isEqualTo(201);
    assertThat(served.trips.trip("mixed").orElseThrow().trip().movements())
        .containsExactly("record-carp", "record-tench", "record-roach");
    JsonNode trip = served.get("/api/v1/trips/mixed/trip.json").at("/entries/0/trip");
    assertThat(trip.path("otherMovements").toString())
        .isEqualTo("[\"record-tench\",\"record-roach\"]");

    String other = start.replace("'mixed'", "'other'");
    HttpResponse<String> unknown =
        served.post("/api/v1/trips", other.formatted(three.replace("record-roach", "record-none")));
    assertThat(unknown.statusCode()).as(unknown.body()).isEqualTo(422);
    assertThat(unknown.body()).contains("#/otherMovements", "record-none", "choose again");
    HttpResponse<String> withoutTheFirst =
        served.post("/api/v1/trips", other.formatted("'otherMovements':['record-tench']"));
    assertThat(withoutTheFirst.statusCode()).as(withoutTheFirst.body()).isEqualTo(422);
    assertThat(withoutTheFirst.body()).contains("#/movementRecord");
    assertThat(served.trips.trip("other")).isEmpty();
  }

  private int year() {
    return farm.now().plus(Duration.ofHours(3)).atZone(PastAlarms.NONE.zone()).getYear();
  }

  private void movement(String id, Instant departs, Duration takes, List<String> permits) {
    keep(
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
            departs.toString(),
            "arrives",
            departs.plus(takes).toString(),
            "permits",
            permits));
  }

  private void keep(String id, Entry.Kind kind, Map<String, ?> fields) {
    RecordBook.Outcome outcome =
        served.records.keep(
            id, "Maren", farm.now(), Optional.empty(), EntryFields.read(kind, fields));
    assertThat(outcome).as(id).isNotInstanceOf(RecordBook.Outcome.Refused.class);
  }
}
