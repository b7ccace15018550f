// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import opercle.analysis.book.RecordBook;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.TripEntry.Loaded;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Three kinds of fish in one tank, each under a movement record of its own; on a phone. */
class MixedLoadPageTest {

  @TempDir Path folder;
  private ServedTrips served;
  private @Nullable TripPhone opened;

  @BeforeEach
  void open() {
    FakeFarm quiet = FakeFarm.quiet();
    List<Tank> tanks =
        quiet.farm().tanks().stream()
            .map(
                tank ->
                    tank.id().equals("t1")
                        ? tank.withLoads(
                            List.of(
                                FakeFarm.load(Species.COMMON_CARP, 80.0, 40),
                                FakeFarm.load(Species.TENCH, 30.0, 40),
                                FakeFarm.load(Species.ROACH, 4.0, 40)))
                        : tank)
            .toList();
    FakeFarm farm = new FakeFarm(tanks);
    tanks.forEach(tank -> farm.set(quiet.state(tank.id())));
    served = new ServedTrips(folder, farm);
    keep("water-stew", Entry.Kind.WATER, Map.of("name", "Stew 2", "type", "pond"));
    keep("water-long", Entry.Kind.WATER, Map.of("name", "Long Water", "type", "fishery"));
    movement("record-carp", "Common carp");
    movement("record-tench", "Tench");
    movement("record-roach", "Roach");
  }

  @AfterEach
  void close() {
    phone().close();
  }

  private void movement(String id, String species) {
    keep(
        id,
        Entry.Kind.MOVEMENT,
        Map.of(
            "species",
            species,
            "count",
            40,
            "from",
            "water-stew",
            "to",
            "water-long",
            "departs",
            FakeFarm.NIGHT.toString(),
            "arrives",
            FakeFarm.NIGHT.plusSeconds(3600).toString()));
  }

  private void keep(String id, Entry.Kind kind, Map<String, ?> fields) {
    assertThat(
            served.records.keep(
                id, "Maren", FakeFarm.NIGHT, Optional.empty(), EntryFields.read(kind, fields)))
        .isInstanceOf(RecordBook.Outcome.Kept.class);
  }

  private void show() {
    opened = TripPhone.with(served.withDoor().serve());
  }

  private TripPhone phone() {
    return Objects.requireNonNull(opened);
  }

  private Browser browser() {
    return phone().browser;
  }

  private void choose(String id, String value) {
    browser()
        .run(
            ("const field = document.getElementById('%s'); field.value = '%s';"
                    + "['input', 'change'].forEach((e) => field.dispatchEvent(new Event(e, { bubbles: true })));"
                    + "return true;")
                .formatted(id, value));
  }

  private String chosen(String css) {
    return String.valueOf(browser().find(css).getDomProperty("value"));
  }

  @Test
  void eachFurtherKind_hasAFieldForItsRecord_whichGoesWithTheTank() throws Exception {
    show();
    phone().openList();
    browser().press("#start summary");
    browser().until("a field each", () -> browser().all("#other-records select").size() == 2);
    assertThat(browser().text("#other-records"))
        .contains("Movement record of the tench", "Movement record of the roach");
    choose("record", "record-carp");
    choose("other-record-1", "record-roach");
    browser().run("document.getElementById('other-record-1').dataset.seen = 'yes'; return true;");
    choose("minutes", "45");
    browser().until("drawn anew", () -> browser().all("#other-records [data-seen]").isEmpty());
    assertThat(chosen("#other-record-0")).isEmpty();
    assertThat(chosen("#other-record-1")).as("of the roach still").isEqualTo("record-roach");
    PageChecks.everythingFits(browser());
    PageChecks.accessible(browser());

    choose("tank", "h1"); // tench alone
    assertThat(browser().all("#other-records select")).as("nothing that it is not of").isEmpty();
    choose("tank", "t1");
    assertThat(chosen("#other-record-1")).isEmpty();
    choose("other-record-0", "record-tench");
    choose("other-record-1", "record-roach");
    browser().type("#from", "Holding 2");
    browser().type("#to", "Long Pool");
    browser().press("#start-form button[type=submit]");
    phone().untilTheTrip();

    assertThat(phone().only().trip().movements())
        .containsExactly("record-carp", "record-tench", "record-roach");
  }

  @Test
  void recordOfTheThirdKind_standsAtTheThirdKind_whereTheLoadingIsPutRight() throws Exception {
    Loaded plain = KeptTrips.underWay("mixed");
    served.trips.begin(
        new Loaded(
            plain.id(),
            plain.time(),
            plain.by(),
            plain.corrects(),
            plain
                .trip()
                .withLoad(served.farm.farm().tank("t1").orElseThrow().loads())
                .withMovement("record-carp", "record-roach")));
    show();
    phone().go("/trips/mixed");
    phone().untilTheTrip();
    browser().press("#entries summary");
    browser().press("#written li:nth-child(1) button");
    browser().until("the movements", () -> browser().all("#loading-record option").size() == 4);

    assertThat(chosen("#loading-record")).isEqualTo("record-carp");
    assertThat(browser().text("#loading"))
        .contains("Movement record of the tench", "Movement record of the roach");
    assertThat(chosen("#loading-record-0")).isEmpty();
    assertThat(chosen("#loading-record-1")).isEqualTo("record-roach");
    PageChecks.everythingFits(browser());
    PageChecks.accessible(browser());
    choose("loading-record-0", "record-tench");
    browser().press("#loading button[type=submit]");

    browser().until("it is written", () -> phone().only().entries().size() == 2);
    assertThat(phone().only().trip().movements())
        .containsExactly("record-carp", "record-tench", "record-roach");
  }
}
