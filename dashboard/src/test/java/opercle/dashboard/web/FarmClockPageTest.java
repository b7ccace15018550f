// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.RecordBook;
import opercle.analysis.records.Standing;
import opercle.analysis.records.TankEntry;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Times that are typed and shown on a device in New York, of a farm that keeps London's time: the
 * clocks there go back on 2026-10-25 at 02:00 and went forward on 2026-03-29 at 01:00.
 */
class FarmClockPageTest extends InTheBrowser {

  @TempDir private static Path folder;
  private static FarmBook book;

  @BeforeAll
  static void open() {
    book = closing(FarmBook.open(folder.resolve("book.db")));
    FakeFarm farm = FakeFarm.quiet();
    farm.zone(ZoneId.of("Europe/London"));
    farm.advance(Duration.between(FakeFarm.NIGHT, Instant.parse("2026-10-25T12:00:00Z")));
    serve(farm, PastAlarms.NONE, List.of(KeptHolding.in(book, farm, PastAlarms.NONE)));
    browser.zone("America/New_York");
    go();
    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
  }

  private static void go() {
    go("/holding?tank=h1");
    browser.until("the page is there", () -> browser.text("#work-tank").equals("Holding 1"));
  }

  private static Object clock(String expression) {
    return browser.run(
        "const m = await import('/assets/farm-clock.js'); return String(" + expression + ");");
  }

  @ParameterizedTest
  @CsvSource({
    "2026-07-01T12:00, Europe/London, 2026-07-01T11:00:00.000Z",
    "2026-12-01T12:00, Europe/London, 2026-12-01T12:00:00.000Z",
    "2026-03-29T00:59, Europe/London, 2026-03-29T00:59:00.000Z",
    "2026-03-29T01:00, Europe/London, ''",
    "2026-03-29T01:59, Europe/London, ''",
    "2026-03-29T02:00, Europe/London, 2026-03-29T01:00:00.000Z",
    "2026-10-25T00:59, Europe/London, 2026-10-24T23:59:00.000Z",
    "2026-10-25T01:00, Europe/London, '2026-10-25T00:00:00.000Z,2026-10-25T01:00:00.000Z'",
    "2026-10-25T01:59, Europe/London, '2026-10-25T00:59:00.000Z,2026-10-25T01:59:00.000Z'",
    "2026-10-25T02:00, Europe/London, 2026-10-25T02:00:00.000Z",
    "2026-04-05T01:45, Australia/Lord_Howe, '2026-04-04T14:45:00.000Z,2026-04-04T15:15:00.000Z'",
    "2026-10-04T02:15, Australia/Lord_Howe, ''",
    "2026-06-01T00:00, Asia/Kathmandu, 2026-05-31T18:15:00.000Z",
    "nonsense, Europe/London, ''"
  })
  void whatIsTyped_isTheFarmsTime(String typed, String zone, String instants) {
    String expression =
        "m.instantsOf('%s', '%s').map((i) => new Date(i).toISOString())".formatted(typed, zone);

    assertThat(clock(expression)).isEqualTo(instants);
    // The library that the server goes by, as the judge.
    if (!typed.equals("nonsense")) {
      assertThat(ZoneId.of(zone).getRules().getValidOffsets(java.time.LocalDateTime.parse(typed)))
          .hasSize(instants.isEmpty() ? 0 : instants.split(",").length);
    }
  }

  @ParameterizedTest
  @CsvSource({
    "2026-10-25T00:30:00Z, 2026-10-25T01:30",
    "2026-10-25T01:30:00Z, 2026-10-25T01:30",
    "2026-03-29T01:00:00Z, 2026-03-29T02:00",
    "2026-07-01T22:59:59Z, 2026-07-01T23:59"
  })
  void whatIsShownInAField_isTheFarmsTime(String instant, String wall) {
    assertThat(clock("m.wallOf(Date.parse('%s'), 'Europe/London')".formatted(instant)))
        .isEqualTo(wall);
  }

  /** On the night when the clocks go back 01:50 may be before 01:10: which it is must be said. */
  @ParameterizedTest
  @CsvSource({
    "2026-10-25T00:30:00Z, '25 Oct, 01:30 BST'",
    "2026-10-25T01:30:00Z, '25 Oct, 01:30 GMT'",
    "2026-10-25T02:00:00Z, '25 Oct, 02:00'",
    "2026-10-24T23:59:59Z, '25 Oct, 00:59'",
    "2026-03-29T01:00:00Z, '29 Mar, 02:00'",
    "2026-07-01T22:59:59Z, '1 Jul, 23:59'"
  })
  void hourThatComesTwice_isShownWithItsZone(String instant, String words) {
    assertThat(
            browser.run(
                "const m = await import('/assets/words.js');"
                    + "return m.dayAndClockWords(Date.parse('%s'));".formatted(instant)))
        .isEqualTo(words);
  }

  @Test
  void sentenceThatWasKept_isReadByTheFarmsClock() {
    assertThat(
            browser.run(
                "const m = await import('/assets/words.js'); return m.inFarmTime("
                    + "'Holding 1: fish is 55 kg of tench since 1 Sept 2026 17:00 UTC, was no fish.');"))
        .isEqualTo("Holding 1: fish is 55 kg of tench since 1 Sept 2026, 18:00, was no fish.");
  }

  @Test
  void pageOfALostServer_saysWhenByTheFarmsClock() {
    browser.until(
        "the zone is kept",
        () ->
            "Europe/London"
                .equals(browser.run("return localStorage.getItem('opercle-zone') ?? '';")));
    browser.run(
        "localStorage.setItem('opercle-reached', String(Date.parse('2026-07-01T12:00:00Z')));"
            + "return true;");
    go("/offline");

    browser.until("it says when", () -> browser.text("#reached").contains("13:00"));
    go();
  }

  private static void type(String wall) {
    browser.run(
        "const d = document.querySelector('[data-kind=cleaning]'); d.open = true;"
            + "const i = d.querySelector('input[type=datetime-local]'); i.value = '"
            + wall
            + "'; i.dispatchEvent(new Event('input', { bubbles: true })); return true;");
  }

  private static void keep() {
    browser.run("document.querySelector('[data-kind=cleaning] .row button').click(); return true;");
  }

  private static List<Instant> cleaned() {
    return new RecordBook(book, "Sallowmere")
        .records().standing(TankEntry.Cleaning.class).stream()
            .map(Standing::entry)
            .map(e -> e.where().time())
            .toList();
  }

  @Test
  void hourThatComesTwice_isAskedAbout_andKeptAsTheOneThatWasMeant() {
    go();
    int before = cleaned().size();
    type("2026-10-25T01:30");
    assertThat(browser.text("[data-kind=cleaning] label")).endsWith("(the farm’s clock)");
    assertThat(browser.find("[data-kind=cleaning] select").isDisplayed()).isTrue();
    keep();
    browser.until(
        "it asks which", () -> browser.text("#trouble").contains("Say which of the two."));
    assertThat(cleaned()).hasSize(before);
    PageChecks.accessible(browser);

    browser.run("document.querySelector('[data-kind=cleaning] select').value = '1'; return true;");
    keep();
    browser.until("it is kept", () -> cleaned().size() == before + 1);
    assertThat(cleaned()).contains(Instant.parse("2026-10-25T01:30:00Z"));
    browser.until(
        "it is shown by the farm's clock", () -> browser.text("#work").contains("25 Oct, 01:30"));
  }

  @Test
  void hourThatNeverComes_isSaid_andNothingIsKept() {
    go();
    int before = cleaned().size();
    type("2026-03-29T01:30");
    assertThat(browser.text("[data-kind=cleaning] .wrong"))
        .isEqualTo("The clocks went forward at the farm then, and 01:30 never came.");
    keep();
    browser.until("it says so", () -> browser.text("#trouble").contains("never came"));
    assertThat(cleaned()).hasSize(before);
  }
}
