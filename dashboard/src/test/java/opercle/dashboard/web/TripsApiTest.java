// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.StringReader;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.book.TankEventRecords;
import opercle.analysis.farm.Tank;
import opercle.analysis.trace.TraceReader;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.tripfile.TripFile;
import opercle.analysis.watch.TankEvent;
import opercle.dashboard.trips.OxygenBySample;
import opercle.ingest.reading.Reading;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Trips as a program sees them. */
class TripsApiTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir private static Path folder;
  private static ServedTrips served;

  @BeforeAll
  static void start() {
    served = new ServedTrips(folder).withASplitLine("seen");
    // The trailer is back: it can make other trips.
    var unused = served.trips.begin(KeptTrips.underWay("under-way"));
    var unusedOut =
        served.trips.add(
            "under-way",
            new TripEntry.Unloaded(
                "under-way-out",
                FakeFarm.NIGHT.minusSeconds(1200),
                "Maren",
                Optional.empty(),
                List.of(),
                OptionalDouble.empty(),
                ""));
    TankEventRecords events = new TankEventRecords(served.book, ServedTrips.FARM);
    events.keep(
        List.of(
            new TankEvent(
                "h2", TankEvent.Kind.FED, FakeFarm.NIGHT.minusSeconds(600), Optional.of("Maren"))));
    PastAlarms none = PastAlarms.NONE;
    served
        .with(
            new PastAlarms(
                none.records(), none.zone(), none.deliveries(), () -> Optional.of(events)))
        .serve();
  }

  /** On the road in a tank that makes no other trip in these tests. */
  private static String start(String id, String tank) {
    return start(id).replace("'t1'", "'" + tank + "','kind':'road'");
  }

  @AfterAll
  static void stop() {
    served.close();
  }

  private static JsonNode get(String path) throws Exception {
    return served.get(path);
  }

  private static HttpResponse<String> post(String path, String body) throws Exception {
    return served.post(path, body);
  }

  private static String start(String id) {
    return "{'id':'"
        + id
        + "','time':'"
        + FakeFarm.NIGHT.minusSeconds(3600)
        + "','by':'Maren','tank':'t1','from':'Holding 2','to':'Long Pool','expectedMinutes':60,"
        + "'temperatureC':11.8,'cylinderBar':180}";
  }

  @Test
  void trip_isBegun_checked_unloaded_andReviewed() throws Exception {
    HttpResponse<String> begun = post("/api/v1/trips", start("trip-1"));
    assertThat(begun.statusCode()).as(begun.body()).isEqualTo(201);
    JsonNode trip = JSON.readTree(begun.body());
    assertThat(trip.at("/entries/0/trip/plan/demandMgPerKgPerHour/likely").asDouble())
        .isGreaterThan(10.0);
    assertThat(trip.at("/entries/0/trip/load/0/kg").asDouble()).isEqualTo(140.0);

    String check =
        "{'id':'c1','time':'"
            + FakeFarm.NIGHT.minusSeconds(1800)
            + "','by':'Tove','fish':'restless','oxygenMgPerL':9.1}";
    assertThat(post("/api/v1/trips/trip-1/checks", check).statusCode()).isEqualTo(200);
    String out =
        "{'id':'o1','time':'"
            + FakeFarm.NIGHT.minusSeconds(60)
            + "','by':'Maren','losses':[{'species':'common-carp','count':1}]}";
    JsonNode whole = JSON.readTree(post("/api/v1/trips/trip-1/unloading", out).body());

    assertThat(whole.path("unloaded").asText()).isNotEmpty();
    assertThat(whole.path("lowestMgPerL").asDouble()).isBetween(7.0, 9.5);
    assertThat(whole.path("losses").asInt()).isEqualTo(1);
    assertThat(whole.path("lessons").get(0).path("words").asText())
        .contains("1 common carp did not live");
    assertThat(whole.at("/report/title").asText()).isEqualTo("Holding 2 to Long Pool");
  }

  @Test
  void formSentTwice_isOneEntry() throws Exception {
    assertThat(post("/api/v1/trips", start("trip-2", "q1")).statusCode()).isEqualTo(201);
    assertThat(post("/api/v1/trips", start("trip-2", "q1")).statusCode()).isEqualTo(200);
    String check =
        "{'id':'c1','time':'"
            + FakeFarm.NIGHT.minusSeconds(1800)
            + "','by':'Tove','fish':'restless'}";
    post("/api/v1/trips/trip-2/checks", check);
    JsonNode twice = JSON.readTree(post("/api/v1/trips/trip-2/checks", check).body());

    assertThat(twice.path("entries")).hasSize(2);
    HttpResponse<String> other =
        post("/api/v1/trips/trip-2/checks", check.replace("restless", "gasping"));
    assertThat(other.statusCode()).isEqualTo(409);
    assertThat(other.body()).contains("by the same form already");
    assertThat(post("/api/v1/trips", start("trip-2", "q1").replace("Maren", "Tove")).statusCode())
        .isEqualTo(409);
  }

  @Test
  void secondTripOfATank_isRefusedInOneSentence_untilTheFirstIsWithdrawn() throws Exception {
    assertThat(post("/api/v1/trips", start("slip", "h3")).statusCode()).isEqualTo(201);
    HttpResponse<String> second = post("/api/v1/trips", start("meant", "h3"));
    assertThat(second.statusCode()).isEqualTo(409);
    assertThat(JSON.readTree(second.body()).path("detail").asText())
        .startsWith("Holding 3 is on a trip already, since 14 Mar 2026, ")
        .endsWith(", to Long Pool. End that one first, or withdraw it if it was begun by mistake.");

    String withdrawal =
        "{'id':'w1','time':'" + FakeFarm.NIGHT + "','by':'Maren','why':'wrong tank'}";
    JsonNode gone = JSON.readTree(post("/api/v1/trips/slip/withdrawal", withdrawal).body());
    assertThat(gone.at("/withdrawn/why").asText()).isEqualTo("wrong tank");
    assertThat(gone.at("/report/subtitle").asText()).contains(". Withdrawn by Maren, 14 March");
    assertThat(gone.path("entries")).hasSize(2);
    assertThat(post("/api/v1/trips/slip/withdrawal", withdrawal).statusCode()).isEqualTo(200);

    assertThat(post("/api/v1/trips", start("meant", "h3")).statusCode()).isEqualTo(201);
    String check = "{'id':'c1','time':'" + FakeFarm.NIGHT + "','by':'Tove','fish':'restless'}";
    assertThat(post("/api/v1/trips/slip/checks", check).body())
        .contains("Maren withdrew this trip (wrong tank).");
    String unsaid = "{'id':'w2','time':'" + FakeFarm.NIGHT + "','by':'Maren','why':''}";
    assertThat(post("/api/v1/trips/meant/withdrawal", unsaid).statusCode()).isEqualTo(422);
  }

  @Test
  void trip_startsFromThePlanThatTheKeeperMade() throws Exception {
    String plan =
        "'plan':{'load':[{'species':'common-carp','kg':40}],'waterLitres':650,'temperatureC':9.5,"
            + "'minutes':95,'reserveBar':70,'gas':'oxygen','diffuser':'ceramic'}";
    HttpResponse<String> begun =
        post(
            "/api/v1/trips",
            start("planned", "h1").replace("'cylinderBar'", plan + ",'cylinderBar'"));

    assertThat(begun.statusCode()).as(begun.body()).isEqualTo(201);
    JsonNode kept = JSON.readTree(begun.body()).at("/entries/0/trip/plan");
    assertThat(kept.path("minutes").asDouble()).isEqualTo(95.0);
    assertThat(kept.path("reserveBar").asDouble()).isEqualTo(70.0);
  }

  /** Without the page of plans: by the tank's own flow, and with the water that its probe sees. */
  @Test
  void tripWithoutAPlan_isPlannedByItsTanksSetUp() throws Exception {
    HttpResponse<String> begun =
        post(
            "/api/v1/trips",
            start("unplanned", "h2").replace(",'temperatureC':11.8,'cylinderBar':180", ""));

    assertThat(begun.statusCode()).as(begun.body()).isEqualTo(201);
    JsonNode trip = JSON.readTree(begun.body()).at("/entries/0/trip");
    double flow = trip.at("/tank/supply/flowLPerMin").asDouble();
    assertThat(flow).isPositive();
    assertThat(trip.at("/plan/flowLPerMin").asDouble()).isEqualTo(flow);
    assertThat(trip.at("/plan/gasLitres/likely").asDouble()).isEqualTo(60.0 * flow);
    assertThat(trip.at("/plan/reserveBar").asDouble()).isEqualTo(50.0);
    assertThat(trip.at("/plan/temperatureC").asDouble()).isBetween(5.0, 20.0);
  }

  @Test
  void yearThatWasMistyped_isRefused() throws Exception {
    String next = start("next", "h2").replace("'time':'2026", "'time':'2027");
    assertThat(post("/api/v1/trips", next).body())
        .contains("14 Mar 2027, ", " is still to come: it is 14 Mar 2026, ");
    assertThat(get("/api/v1/trips").toString()).doesNotContain("\"next\"");
  }

  @Test
  void correction_holds_andTheOldWordStays() throws Exception {
    JsonNode seen = get("/api/v1/trips/seen");

    assertThat(seen.path("entries")).hasSize(5);
    assertThat(seen.path("checksInForce").toString()).isEqualTo("[\"c2\",\"c3\"]");
    assertThat(seen.toString()).contains("was corrected later; both are kept");
    HttpResponse<String> none =
        post(
            "/api/v1/trips/seen/corrections",
            "{'kind':'check','id':'x','time':'2026-03-11T02:40:00Z','by':'Tove','fish':'restless'}");
    assertThat(none.statusCode()).isEqualTo(400);
  }

  @Test
  void reviewOfASplitLine_saysWhenAndWhat() throws Exception {
    JsonNode seen = get("/api/v1/trips/seen");

    Instant found = Instant.parse(seen.at("/failure/time").asText());
    Instant split = KeptTrips.THEN.plus(KeptTrips.SPLIT_AFTER);
    assertThat(Duration.between(split, found).toSeconds()).isBetween(-30L, 30L);
    OxygenBySample oxygen =
        OxygenBySample.of(
            KeptTrips.splitLine("seen").readings(), KeptTrips.THEN.plus(KeptTrips.LENGTH));
    assertThat(seen.path("lowestMgPerL").asDouble()).isEqualTo(Json.rounded(oxygen.lowestMgPerL()));
    Tank.Floors floors = KeptTrips.farm().tank("t1").orElseThrow().floorsInForce();
    assertThat(oxygen.below(floors.keepMgPerL())).as("something to count").isPositive();
    assertThat(seen.path("belowKeepMinutes").asDouble())
        .as("to the sample, of which there are many in a minute")
        .isCloseTo(oxygen.below(floors.keepMgPerL()).toMillis() / 60_000.0, within(0.001));
    assertThat(seen.path("belowCriticalMinutes").asDouble())
        .isCloseTo(oxygen.below(floors.criticalMgPerL()).toMillis() / 60_000.0, within(0.001));
    assertThat(seen.path("demandMeasured").asText()).isEqualTo("with the gas steady");
    assertThat(seen.path("lessons").toString())
        .contains("2 common carp did not live")
        .contains("look behind the meter");
    assertThat(get("/api/v1/trips/rates").path("trips").get(0).path("trip").asText())
        .isEqualTo("seen");
    assertThat(
            get("/api/v1/trips/rates?species=common-carp&temperatureC=11&meanMassKg=2.3")
                .has("rate"))
        .as("too unsure to plan by")
        .isFalse();
  }

  @Test
  void whatIsWrong_isToldFieldByField() throws Exception {
    HttpResponse<String> answer =
        post(
            "/api/v1/trips/seen/checks",
            "{'id':'c9','time':'soon','by':'Tove','fish':'happy','oxygenMgPerL':99}");

    assertThat(answer.statusCode()).isEqualTo(422);
    assertThat(answer.headers().firstValue("Content-Type")).hasValue("application/problem+json");
    assertThat(JSON.readTree(answer.body()).path("errors").findValuesAsText("pointer"))
        .containsExactlyInAnyOrder("#/time", "#/fish", "#/oxygenMgPerL");
    assertThat(post("/api/v1/trips/nowhere/checks", "{}").statusCode()).isEqualTo(422);
    assertThat(post("/api/v1/trips", start("x").replace("'t1'", "'t9'")).body())
        .contains("/tank is \\\"t9\\\", must be a tank of this farm: Holding 1");
    assertThat(served.text("/api/v1/trips/nowhere").statusCode()).isEqualTo(404);
  }

  @Test
  void file_goesOut_andComesInAgain_changingNothing() throws Exception {
    HttpResponse<String> file = served.text("/api/v1/trips/seen/trip.json");
    assertThat(file.headers().firstValue("Content-Disposition").orElse(""))
        .contains("attachment")
        .endsWith(".json\"");

    HttpResponse<String> again = served.postAsIs("/api/v1/trips/import", file.body());

    assertThat(again.body())
        .isEqualTo(
            "{\"trip\":\"seen\",\"entries\":0,\"readings\":0,\"alarms\":0,\"events\":0,\"photos\":0}");
    String broken = file.body().replaceFirst("\"kg\":[0-9.]+", "\"kg\":-140.0");
    HttpResponse<String> refused = post("/api/v1/trips/import", broken.replace('"', '\''));
    assertThat(refused.statusCode()).isEqualTo(422);
    assertThat(refused.body()).contains("/entries/0/trip/load/0/kg is -140.0, must be");
  }

  @Test
  void tripOfAnotherFarm_isTakenInOnlyIfSaidSo() throws Exception {
    String other =
        served
            .text("/api/v1/trips/seen/trip.json")
            .body()
            .replaceFirst("\"farm\":\"Sallowmere\"", "\"farm\":\"Withy Farm\"")
            .replace("seen", "theirs")
            .replace('"', '\'');

    HttpResponse<String> refused = post("/api/v1/trips/import", other);
    assertThat(refused.statusCode()).isEqualTo(409);
    assertThat(refused.body()).contains("another farm, Withy Farm", "stays marked as theirs");
    assertThat(post("/api/v1/trips/import?otherFarm=true", other).statusCode()).isEqualTo(200);
    assertThat(post("/api/v1/trips/import?otherFarm=true", other).body())
        .contains("\"entries\":0,\"readings\":0");
    assertThat(get("/api/v1/trips/theirs").path("tankName").asText())
        .isEqualTo("Trailer tank (Withy Farm)");
  }

  @Test
  void csv_roundTrips_throughTheReaderOfTraces() throws Exception {
    String csv = served.text("/api/v1/trips/seen/readings.csv").body();
    List<Reading> back = new ArrayList<>();
    try (TraceReader reader =
        new TraceReader(
            "trip.csv", new StringReader(csv), "t1"::equals, p -> assertThat(p).isNull())) {
      for (Reading r = reader.next(); r != null; r = reader.next()) {
        back.add(r);
      }
    }

    TripFile file = KeptTrips.splitLine("seen");
    assertThat(back).containsExactlyInAnyOrderElementsOf(file.readings());
  }

  @Test
  void pdf_hasItsTextAsText_andNothingOutsideThePage() throws Exception {
    byte[] pdf = served.bytes("/api/v1/trips/seen/report.pdf").body();
    Files.createDirectories(Path.of("target", "pages"));
    Files.write(Path.of("target", "pages", "trip-report.pdf"), pdf);

    try (PDDocument document = Loader.loadPDF(pdf)) {
      PDFTextStripper stripper =
          new PDFTextStripper() {
            @Override
            protected void processTextPosition(org.apache.pdfbox.text.TextPosition text) {
              assertThat(text.getXDirAdj()).isGreaterThanOrEqualTo(30f);
              assertThat(text.getXDirAdj() + text.getWidthDirAdj()).isLessThan(595f - 30f);
              assertThat(text.getYDirAdj()).isBetween(30f, 842f - 20f);
              super.processTextPosition(text);
            }
          };
      String text = stripper.getText(document);
      assertThat(text)
          .contains("Holding 2 to Long Pool", "Next time", "What the watch saw", "restless")
          .contains("New hose clip fitted <at once>. Gesa Lukasz helped.")
          .contains("Opercle, page 1 of");
    }
  }

  @Test
  void picture_andReport_holdNoMarkupOfWhatPeopleWrote() throws Exception {
    String report = served.text("/trips/seen/report").body();

    assertThat(report)
        .contains("New hose clip fitted &lt;at once&gt;")
        .doesNotContain("<at once>")
        .contains("<svg")
        .doesNotContain("style=", "{{");
  }

  @Test
  void eventsOfATank_areTold() throws Exception {
    JsonNode events = get("/api/v1/tanks/h2/events");

    assertThat(events.path("kept").asBoolean()).isTrue();
    assertThat(events.path("events").findValuesAsText("kind")).containsExactly("fed");
    assertThat(get("/api/v1/tanks/h1/events").path("events")).isEmpty();
  }

  @Test
  void night_isReviewedOverAChosenSpan() throws Exception {
    post(
        "/api/v1/trips",
        "{'id':'night-1','kind':'night','time':'2026-03-13T18:00:00Z','by':'Maren','tank':'h1'}");
    JsonNode night =
        JSON.readTree(
            post(
                    "/api/v1/trips/night-1/unloading",
                    "{'id':'night-1-out','time':'2026-03-14T02:00:00Z','by':'Maren'}")
                .body());

    assertThat(night.path("minutes").asDouble()).isEqualTo(480.0);
    assertThat(night.path("unknownMinutes").asDouble()).isLessThan(1.0);
    assertThat(night.path("failure").isMissingNode()).isTrue();
    assertThat(night.at("/report/title").asText()).isEqualTo("Holding 1, a night");
  }
}
