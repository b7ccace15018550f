// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.UnaryOperator;
import opercle.analysis.book.RecordBook;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import opercle.dashboard.trips.OxygenBySample;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The list of trips on a phone: one taken in from a lorry, several side by side, and papers. */
class TripListPageTest {

  @TempDir Path folder;
  private @Nullable TripPhone opened;

  private void open(ServedTrips at) {
    opened = TripPhone.with(at.serve());
  }

  private TripPhone phone() {
    return Objects.requireNonNull(opened);
  }

  private Browser browser() {
    return phone().browser;
  }

  @AfterEach
  void close() {
    phone().close();
  }

  private void choose(String id, String value) {
    browser()
        .run(
            ("const field = document.getElementById('%s'); field.value = '%s';"
                    + "field.dispatchEvent(new Event('change', { bubbles: true })); return true;")
                .formatted(id, value));
  }

  private static byte[] bytes(TripFile file) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    file.write(out);
    return out.toByteArray();
  }

  private void takeIn(Path file) {
    browser().find("#file").sendKeys(file.toString());
    browser().press("#bring-form button[type=submit]");
  }

  @Test
  void fileOfATrip_isTakenInByItsChooser_andTheSecondTimeChangesNothing() throws Exception {
    open(new ServedTrips(folder).withDoor());
    TripFile trip = KeptTrips.splitLine("seen");
    Path file = Files.write(folder.resolve("trip.json"), bytes(trip));
    phone().openList();
    browser().press("#bring summary");

    takeIn(file);

    browser()
        .until("it is taken in", () -> browser().text("#done").startsWith("Taken in: 5 entries"));
    TripLog log = phone().only();
    assertThat(log.entries()).isEqualTo(trip.log().entries());
    assertThat(phone().at.trips.readings(log)).hasSameSizeAs(trip.readings());
    browser().until("the list", () -> browser().all("#list li").size() == 1);

    phone().openList();
    browser().press("#bring summary");
    takeIn(file);

    browser().until("it is said", () -> browser().text("#done").contains("nothing has changed"));
    assertThat(phone().at.trips.newest(FakeFarm.NIGHT, 10)).hasSize(1);
    assertThat(phone().only().entries()).isEqualTo(log.entries());
    assertThat(phone().at.trips.readings(log)).hasSameSizeAs(trip.readings());
    assertThat(phone().at.trips.alarms(log)).hasSameSizeAs(trip.alarms());
    assertThat(browser().all("#list li")).hasSize(1);
    PageChecks.everythingFits(browser());

    browser().press("#list a");
    phone().untilTheTrip();
    OxygenBySample oxygen =
        OxygenBySample.of(trip.readings(), KeptTrips.THEN.plus(KeptTrips.LENGTH));
    assertThat(browser().text("#report-parts"))
        .contains(String.format(Locale.ROOT, "%.2f mg/L", oxygen.lowestMgPerL()));
  }

  /** The same trip otherwise: as its file would be. */
  private static TripFile other(String id, UnaryOperator<String> words) throws IOException {
    String file = new String(bytes(KeptTrips.splitLine(id)), StandardCharsets.UTF_8);
    return TripFile.read(
        "trip.json", new ByteArrayInputStream(words.apply(file).getBytes(StandardCharsets.UTF_8)));
  }

  private static TripFile warmer(TripFile trip, double kelvins) {
    List<Reading> readings =
        trip.readings().stream()
            .map(
                r ->
                    r.quantity() == Quantity.TEMPERATURE
                        ? new Reading(
                            r.tank(), r.quantity(), r.probe(), r.time(), r.value() + kelvins)
                        : r)
            .toList();
    return new TripFile(trip.farm(), trip.log(), readings, trip.alarms(), trip.events());
  }

  @Test
  void trips_areComparedByKind_warmth_andSize() throws Exception {
    ServedTrips at = new ServedTrips(folder).withASplitLine("seen");
    at.trips.take(warmer(KeptTrips.splitLine("warm"), 6.0));
    at.trips.take(other("small", words -> words.replaceFirst("\"count\":\\d+", "\"count\":1400")));
    at.trips.take(other("tench", words -> words.replace("common-carp", "tench")));
    open(at);
    phone().openList();
    browser().until("the list", () -> browser().all("#list li").size() == 4);

    choose("of-kind", "");
    choose("of-warmth", "");
    assertThat(browser().all("#rows tr")).hasSize(4);
    choose("of-kind", "tench");
    assertThat(browser().all("#rows tr")).hasSize(1);
    assertThat(browser().text("#rows")).contains("kg of tench");
    choose("of-kind", "common-carp");
    assertThat(browser().all("#rows tr")).hasSize(3);
    choose("of-size", "0.1 0.3");
    assertThat(browser().all("#rows tr")).hasSize(1);
    assertThat(browser().text("#rows")).contains("0.2 kg each");
    choose("of-size", "1 3");
    assertThat(browser().all("#rows tr")).hasSize(2);
    choose("of-warmth", "14 18");
    assertThat(browser().all("#rows tr")).hasSize(1);
    choose("of-warmth", "10 14");
    assertThat(browser().all("#rows tr")).as("the cold one of large carp").hasSize(1);
    choose("of-size", "3 1000");
    assertThat(browser().all("#rows tr")).isEmpty();
    PageChecks.everythingFits(browser());
  }

  private static Loaded loadedAt(String id, Instant time, Optional<String> corrects) {
    Loaded loaded = KeptTrips.underWay(id);
    return new Loaded(
        loaded.id() + corrects.map(c -> "-2").orElse(""), time, "Maren", corrects, loaded.trip());
  }

  private static Unloaded outAt(String id, Instant time) {
    return new Unloaded(
        id + "-out", time, "Maren", Optional.empty(), List.of(), OptionalDouble.empty(), "");
  }

  /** The last trip that the page has moves to the top of the list while it is looked at. */
  @Test
  void earlierTrips_goOn_whereTheLastOneHasGotALaterTimeMeanwhile() {
    ServedTrips at = new ServedTrips(folder).withDoor();
    for (int i = 10; i < 52; i++) {
      Instant time = FakeFarm.NIGHT.minusSeconds(3600L * i);
      TripLog log = TripLog.of(loadedAt("a" + i, time, Optional.empty()));
      at.trips.take(
          new TripFile(
              ServedTrips.FARM,
              i == 49 ? log : log.with(outAt("a" + i, time.plusSeconds(600))),
              List.of(),
              List.of(),
              List.of()));
    }
    open(at);
    phone().openList();
    browser().until("the list", () -> browser().all("#list li").size() == 20);
    browser().press("#more");
    browser().until("more of it", () -> browser().all("#list li").size() == 40);
    at.trips.add("a49", loadedAt("a49", FakeFarm.NIGHT.minusSeconds(3600), Optional.of("a49-in")));

    browser()
        .until(
            "all of it",
            () -> {
              if (browser().find("#more").isDisplayed()) {
                browser().press("#more");
              }
              return browser().all("#list li").size() == 42;
            });
  }

  private static void keep(ServedTrips at, String id, Entry.Kind kind, Map<String, ?> fields) {
    assertThat(
            at.records.keep(
                id, "Maren", FakeFarm.NIGHT, Optional.empty(), EntryFields.read(kind, fields)))
        .isInstanceOf(RecordBook.Outcome.Kept.class);
  }

  @Test
  void recordThatSaysLessThanIsAboard_andLacksPapers_isToldOf_andLeadsToTheRecords() {
    ServedTrips at = new ServedTrips(folder).withDoor();
    keep(at, "water-stew", Entry.Kind.WATER, Map.of("name", "Stew 2", "type", "pond"));
    keep(at, "water-long", Entry.Kind.WATER, Map.of("name", "Long Water", "type", "fishery"));
    keep(
        at,
        "movement-few",
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
            FakeFarm.NIGHT.toString(),
            "arrives",
            FakeFarm.NIGHT.plusSeconds(3600).toString()));
    open(at);
    phone().openList();
    browser().press("#start summary");
    assertThat(browser().text("#record-prompts")).contains("No movement is chosen");
    assertThat(browser().find("#to-records").isDisplayed()).isTrue();

    choose("record", "movement-few");

    assertThat(browser().text("#record-prompts"))
        .as("60 fish are in the trailer")
        .contains("60 common carp are aboard; the movement record says 50.")
        .contains("No consignment note");
    PageChecks.everythingFits(browser());
    PageChecks.accessible(browser());
    choose("tank", "h1"); // of a holding tank nobody said that it goes on the road
    assertThat(browser().text("#record-prompts")).doesNotContain("are aboard");
    choose("tank", "t1");
    choose("record", "movement-few");
    browser().type("#from", "Holding 2");
    browser().type("#to", "Long Pool");
    browser().press("#start-form button[type=submit]");
    phone().untilTheTrip();

    assertThat(phone().only().trip().movementRecord()).contains("movement-few");
    assertThat(browser().text("#report-parts"))
        .contains("60 common carp are aboard; the movement record says 50.");
    browser().press("#report-parts a[href='/records']");
    browser().until("the records", () -> browser().driver().getCurrentUrl().endsWith("/records"));
  }
}
