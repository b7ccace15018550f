// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static opercle.dashboard.web.DoneAtTanks.hoursAgo;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.concurrent.atomic.AtomicReference;
import java.util.stream.Stream;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Entry;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.HeardProbes;
import opercle.analysis.stock.Species;
import opercle.analysis.watch.TankEvent;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/** What the traces of a tank are marked with, as a program sees it. */
class TankDeedsTest extends MarkedTank {

  private static final Instant THEN = hoursAgo(9.0);

  static Stream<Arguments> written() {
    return Stream.of(
        of(Entry.Kind.FEED, Map.of("kg", 2.5), "Fed 2.5 kg"),
        of(Entry.Kind.WATER_CHANGE, Map.of("litres", 300), "Changed 300 L of water"),
        of(Entry.Kind.SALT, Map.of("kg", 4), "Put in 4 kg of salt"),
        of(
            Entry.Kind.TOP_UP,
            Map.of("litres", 60, "lost", "evaporated"),
            "Topped up 60 L that evaporated"),
        of(Entry.Kind.WATER_TEST, Map.of("ph", 7.4), "Tested: pH 7.4"),
        of(
            Entry.Kind.TREATMENT,
            Map.of("what", "A bath", "amount", "20 mL", "reason", "white tufts"),
            "Treated: A bath, 20 mL"),
        of(
            Entry.Kind.HAND_CHECK,
            Map.of("fish", "restless", "oxygenMgPerL", 8.1, "temperatureC", 12.5),
            "Checked by hand: fish restless, oxygen 8.1 mg/L, water 12.5 °C"),
        of(Entry.Kind.CLEANING, Map.of(), "Cleaned"),
        of(
            Entry.Kind.MOVED,
            Map.of("to", "h3", "toName", "Holding 3", "species", "tench", "kg", 12),
            "12 kg of tench moved to Holding 3"));
  }

  private static Arguments of(Entry.Kind kind, Map<String, ?> fields, String words) {
    return Arguments.of(kind, fields, words);
  }

  @ParameterizedTest
  @MethodSource("written")
  void whatWasWrittenDownLate_isMarkedWhenItWasDone(
      Entry.Kind kind, Map<String, ?> fields, String words) throws Exception {
    done.write("entry-0001", kind, "h2", THEN, fields);

    JsonNode deed = only(events("h2", 24));

    assertThat(deed.path("time").asText()).isEqualTo("2026-03-13T17:11:07.000Z");
    assertThat(deed.path("kind").asText()).isEqualTo(kind.id());
    assertThat(deed.path("words").asText()).isEqualTo(words);
    assertThat(deed.path("by").asText()).isEqualTo("Maren");
    assertThat(deed.path("writtenDown").asText()).isEqualTo("2026-03-14T02:11:07.000Z");
    assertThat(deed.has("id")).isFalse();
    assertThat(only(events("h2", 30 * 24))).isEqualTo(deed);
    assertThat(events("h2", 8)).isEmpty();
  }

  @Test
  void fishThatCameFromAnotherTank_areMarkedHereToo() throws Exception {
    done.write(
        "entry-0001",
        Entry.Kind.MOVED,
        "h2",
        THEN,
        Map.of("to", "h3", "toName", "Holding 3", "species", "tench", "kg", 12));

    assertThat(words("h3")).containsExactly("12 kg of tench came from Holding 2");
    assertThat(events("h1", 24)).isEmpty();
  }

  @Test
  void whatWasCorrected_standsAsItHolds_andWhatWasWithdrawnIsGone() throws Exception {
    done.write("entry-0001", Entry.Kind.SALT, "h2", THEN, Map.of("kg", 40));
    done.correct(
        "entry-0002", "entry-0001", Entry.Kind.SALT, hoursAgo(7.0), Map.of("kg", 4), false);
    done.write("entry-0003", Entry.Kind.CLEANING, "h2", THEN, Map.of());
    done.correct("entry-0004", "entry-0003", Entry.Kind.CLEANING, THEN, Map.of(), true);

    JsonNode deed = only(events("h2", 24));

    assertThat(deed.path("words").asText()).isEqualTo("Put in 4 kg of salt");
    assertThat(deed.path("time").asText()).isEqualTo("2026-03-13T19:11:07.000Z");
  }

  @ParameterizedTest
  @MethodSource("presses")
  void buttonsAreMarked(TankEvent.Kind kind) throws Exception {
    done.press("h2", kind, THEN, "Tove");

    JsonNode deed = only(events("h2", 24));

    assertThat(deed.path("kind").asText()).isEqualTo(kind.id());
    assertThat(deed.path("by").asText()).isEqualTo("Tove");
    assertThat(deed.has("words")).isFalse();
  }

  static TankEvent.Kind[] presses() {
    return TankEvent.Kind.values();
  }

  @Test
  void buttonAndForm_tellOfOneDeed_andTheFormSaysMore() throws Exception {
    done.writeAtOnce("entry-0001", Entry.Kind.FEED, "h2", THEN, Map.of("kg", 2.5));
    done.press("h2", TankEvent.Kind.FED, THEN.plusSeconds(300), "Maren");
    done.press("h2", TankEvent.Kind.FED, hoursAgo(2.0), "Maren");
    done.press("h2", TankEvent.Kind.WATER_CHANGED, THEN, "Maren");
    done.press("h2", TankEvent.Kind.FED, THEN, "Tove");

    List<JsonNode> deeds = events("h2", 24);

    assertThat(deeds).extracting(d -> d.path("kind").asText()).contains("water-changed", "feed");
    assertThat(deeds).hasSize(4);
    assertThat(deeds).noneMatch(d -> d.has("writtenDown"));
  }

  @Test
  void fishUnderTanksAndProbes_areMarkedWithTheirWeight_once() throws Exception {
    FarmRecords versions = new FarmRecords(kept.book());
    Farm farm = FakeFarm.quiet().farm();
    versions.add(farm, hoursAgo(40 * 24), "farm.yaml", List.of());
    Farm more = with(farm, "h2", Stocking.with(loads(farm, "h2"), tench(30.0, THEN)));
    Instant late = hoursAgo(2.0);
    versions.add(more, late, "Maren", List.of("Holding 2: fish"));
    done.press("h2", TankEvent.Kind.FISH_ADDED, late, "Maren");
    Farm less =
        with(
            more,
            "h2",
            Stocking.without(loads(more, "h2"), Species.TENCH, 10.0, OptionalInt.empty()));
    versions.add(less, hoursAgo(1.0), "Tove", List.of("Holding 2: fish"));
    done.press("h2", TankEvent.Kind.FISH_REMOVED, hoursAgo(1.0), "Tove");

    assertThat(words("h2")).containsExactly("30 kg of tench put in", "10 kg of tench taken out");
    assertThat(events("h2", 24).get(0).path("time").asText())
        .as("when they went in, not when that was written down")
        .isEqualTo("2026-03-13T17:11:07.000Z");
    assertThat(events("h2", 1.5)).hasSize(1);
  }

  @Test
  void fishThatJoinOthersOfTheirKind_areMarkedWhenTheyWentIn_notWhenThatWasWrittenDown()
      throws Exception {
    FarmRecords versions = new FarmRecords(kept.book());
    Farm farm = FakeFarm.quiet().farm();
    AtomicReference<Instant> clock = new AtomicReference<>(hoursAgo(40 * 24));
    FarmDesk desk = FarmDesk.open(versions, farm, "farm.yaml", clock::get);
    SetUpApi api = new SetUpApi(desk, Optional.empty(), new HeardProbes(), clock::get, false);
    try (DashboardServer setUp =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            FakeFarm.quiet(),
            new FakeTraces(),
            PastAlarms.NONE,
            Optional.empty(),
            List.of(api))) {
      clock.set(THEN);
      putIn(setUp, "'kg':30");
      clock.set(hoursAgo(2.0));
      putIn(setUp, "'kg':12,'since':'" + hoursAgo(4.0) + "'");
    }

    assertThat(words("h2")).containsExactly("30 kg of tench put in", "12 kg of tench put in");
    JsonNode second = events("h2", 24).get(1);
    assertThat(second.path("time").asText()).isEqualTo("2026-03-13T22:11:07.000Z");
    assertThat(second.path("writtenDown").asText()).isEqualTo("2026-03-14T00:11:07.000Z");
    assertThat(events("h2", 3)).as("they were in before").isEmpty();
  }

  private static void putIn(DashboardServer setUp, String more) throws Exception {
    HttpResponse<String> answer =
        HttpClient.newHttpClient()
            .send(
                HttpRequest.newBuilder(
                        URI.create(
                            "http://127.0.0.1:%d/api/v1/tanks/h2/fish".formatted(setUp.port())))
                    .header("Content-Type", "application/json")
                    .POST(
                        BodyPublishers.ofString(
                            "{'by':'Maren','do':'add','species':'tench',%s}"
                                .formatted(more)
                                .replace('\'', '"')))
                    .build(),
                BodyHandlers.ofString());
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
  }

  @Test
  void transferUnderTanksAndProbes_isOneMarkAtEachTank() throws Exception {
    FarmRecords versions = new FarmRecords(kept.book());
    Farm farm = FakeFarm.quiet().farm();
    versions.add(farm, hoursAgo(40 * 24), "farm.yaml", List.of());
    Tank.Load part =
        new Tank.Load(Species.COMMON_CARP, 20.0, OptionalInt.empty(), Optional.empty());
    Farm moved =
        with(
            with(
                farm,
                "h2",
                Stocking.without(
                    loads(farm, "h2"), Species.COMMON_CARP, 20.0, OptionalInt.empty())),
            "h3",
            Stocking.with(loads(farm, "h3"), part));
    versions.add(moved, DoneAtTanks.WRITTEN, "Maren", List.of("Holding 2: fish"));
    done.write(
        "entry-0001",
        Entry.Kind.MOVED,
        "h2",
        THEN,
        Map.of("to", "h3", "toName", "Holding 3", "species", "common carp", "kg", 20));
    done.press("h2", TankEvent.Kind.FISH_REMOVED, DoneAtTanks.WRITTEN.minusSeconds(1), "Maren");
    done.press("h3", TankEvent.Kind.FISH_ADDED, DoneAtTanks.WRITTEN.minusSeconds(1), "Maren");

    assertThat(words("h2")).containsExactly("20 kg of common carp moved to Holding 3");
    assertThat(words("h3")).containsExactly("20 kg of common carp came from Holding 2");
  }

  private static JsonNode only(List<JsonNode> deeds) {
    assertThat(deeds).hasSize(1);
    return deeds.get(0);
  }
}
