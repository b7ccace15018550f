// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.records.Entry;
import opercle.analysis.records.Movement;
import opercle.analysis.records.Water;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLog;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A whole trip in a real browser of a phone's size, from loading to the report. */
class TripPageTest {

  @TempDir Path folder;
  private FarmBook book;
  private TripRecords trips;
  private DashboardServer server;
  private FakeFarm farm;
  private Browser browser;

  @BeforeEach
  void open() {
    book = FarmBook.open(folder.resolve("book.db"));
    trips = new TripRecords(book, "Sallowmere");
    farm = FakeFarm.quiet();
    farm.advance(Duration.ofHours(-1)); // the traces end at the hour of the fake farm
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
                    () -> Optional.of(new RecordBook(book, "Sallowmere")),
                    () -> Optional.of(new PhotoRecords(book, "Sallowmere")),
                    Optional::empty)));
    browser = Browser.open();
    browser.phone();
    go("/trips");
    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
  }

  @AfterEach
  void close() {
    browser.close();
    server.close();
    book.close();
  }

  private void go(String path) {
    browser.go("http://127.0.0.1:" + server.port() + path);
  }

  private void press(String css) {
    browser.run(
        "document.querySelector(\""
            + css
            + "\").scrollIntoView({ block: 'center' }); return true;");
    browser.find(css).click();
  }

  private void type(String id, String text) {
    browser.run("document.getElementById('" + id + "').value = ''; return true;");
    browser.find("#" + id).sendKeys(text);
  }

  /** Half an hour on the road; returns once the page knows the time. */
  private void drive() {
    Object before = browser.run("return document.getElementById('clock').textContent;");
    farm.advance(Duration.ofMinutes(30));
    browser.until(
        "the time on the page",
        () -> !browser.run("return document.getElementById('clock').textContent;").equals(before));
  }

  private TripLog only() {
    return trips.newest(FakeFarm.NIGHT.plusSeconds(3600), 10).get(0);
  }

  private void begin() {
    go("/trips");
    browser.until("the tanks", () -> !browser.all("#tank option").isEmpty());
    browser.until("it can be written", () -> browser.find("#start").isDisplayed());
    press("#start summary");
    assertThat(browser.find("#bar").getDomProperty("value")).as("nobody read the gauge").isEmpty();
    assertThat(browser.text("#record-prompts")).contains("No movement is chosen");
    type("from", "Holding 2");
    type("to", "Long Pool");
    type("minutes", "60");
    press("#start-form button[type=submit]");
    browser.until("the trip's page", () -> browser.text("#title").equals("Holding 2 to Long Pool"));
  }

  @Test
  void wholeTrip_onAPhone_fromLoadingToTheReport() throws Exception {
    begin();
    assertThat(only().trip().loadKg()).isEqualTo(140.0);
    assertThat(only().trip().plan()).isPresent();

    drive();

    // Four taps: the fish, and that it is written down; the two others are the hand meter's.
    press("#fish label:nth-child(2)");
    press("#meters summary");
    type("check-oxygen", "9,3");
    press("#check-form button[type=submit]");
    browser.until(
        "it is kept", () -> browser.text("#done").equals("Written down: restless (Maren)."));
    assertThat(only().checks())
        .singleElement()
        .satisfies(
            c -> {
              assertThat(c.fish()).isEqualTo(Fish.RESTLESS);
              assertThat(c.oxygenMgPerL().orElseThrow()).isEqualTo(9.3);
            });

    drive();
    press("#unloading summary");
    type("end-bar", "120");
    press("#unload-form button[type=submit]");
    browser.until("the end", () -> browser.text("#done").startsWith("The trip has ended"));
    assertThat(browser.text("#done")).contains("calls nobody");
    assertThat(only().unloaded()).isPresent();
    assertThat(browser.find("#check").isDisplayed()).isFalse();
    assertThat(browser.text("#subtitle")).contains("60 min");
    assertThat(browser.text("#report-parts")).contains("Lowest", "8.", "nothing: there is no gap");
    browser.until("the picture", () -> !browser.all("#picture svg").isEmpty());
    PageChecks.everythingFits(browser);
    Files.createDirectories(Path.of("target", "pages"));
    Files.write(Path.of("target", "pages", "trip-ended-phone.png"), browser.picture());

    browser.run(
        "document.querySelectorAll('#report-parts .whence summary').forEach((s) => s.click());"
            + "return true;");
    browser.until("where it is from", () -> !browser.all("#report-parts .whence li").isEmpty());
    assertThat(browser.text("#report-parts"))
        .contains(
            "written down by Maren at ",
            "Lowest, highest and how long below: from the readings of Trailer tank from ",
            "Used: by the meter",
            "by eye and by hand meter");

    press("#report");
    browser.until("the report", () -> !browser.all(".trip-report h2").isEmpty());
    assertThat(browser.text("main")).contains("Holding 2 to Long Pool", "Checks at the stops");
    go("/trips");
    browser.until("the list", () -> browser.text("#list").contains("Holding 2 to Long Pool"));
    assertThat(browser.text("#rows")).contains("common carp");
    assertThat(browser.find("#of-kind").getDomProperty("value"))
        .as("like with like from the start")
        .isEqualTo("common-carp");
    press("#comparing .whence summary");
    browser.until("where they are from", () -> browser.text("#comparing").contains("an estimate"));
    assertThat(browser.complaints())
        .filteredOn(words -> !words.contains("AudioContext")) // no sound before the first tap
        .isEmpty();
  }

  @Test
  void whatWasWrittenWrong_isPutRight_alsoAfterTheTrip() {
    begin();
    drive();
    press("#fish label:nth-child(2)");
    press("#check-form button[type=submit]");
    browser.until("the check", () -> only().checks().size() == 1);
    Instant seen = only().checks().get(0).time();
    press("#unloading summary");
    press("#unload-form button[type=submit]");
    browser.until("the end", () -> only().unloaded().isPresent());
    Instant out = only().unloaded().orElseThrow().time();

    press("#entries summary");
    press("#written li:nth-child(2) button");
    browser.until("the form", () -> browser.find("#check").isDisplayed());
    press("#fish label:nth-child(1)");
    type("check-oxygen", "7.4");
    press("#check-form button[type=submit]");
    browser.until(
        "the check again", () -> only().checks().get(0).oxygenMgPerL().orElse(0.0) == 7.4);
    assertThat(only().checks())
        .singleElement()
        .satisfies(
            check -> {
              assertThat(check.fish()).isEqualTo(Fish.LOW_AND_QUIET);
              assertThat(check.time()).isEqualTo(seen);
            });

    press("#written li:nth-child(3) button");
    browser.until("the form", () -> browser.find("#unloading").isDisplayed());
    browser.run("document.querySelector('#losses input').value = ''; return true;");
    browser.find("#losses input").sendKeys("2");
    press("#unload-form button[type=submit]");
    browser.until("the losses", () -> !only().unloaded().orElseThrow().losses().isEmpty());
    assertThat(only().unloaded().orElseThrow().time()).isEqualTo(out);
    assertThat(only().entries()).as("all that was ever written").hasSize(5);
    browser.until("the forms are gone", () -> !browser.find("#unloading").isDisplayed());
    assertThat(browser.find("#check").isDisplayed()).isFalse();
    assertThat(browser.all("#written button")).as("only what stands").hasSize(3);
  }

  @Test
  void whatNobodyTouches_whenItIsPutRight_staysToTheLastDigit() {
    browser.run("localStorage.setItem('opercle-unit-temperature', '°F'); return true;");
    begin();
    String trip = only().trip().id();
    farm.advance(Duration.ofHours(1));
    Instant seen = FakeFarm.NIGHT.minusSeconds(1800);
    trips.add(
        trip,
        new StopCheck(
            "by-meter",
            seen,
            "Tove",
            Optional.empty(),
            Fish.RESTLESS,
            OptionalDouble.of(8.137),
            OptionalDouble.of(12.3456),
            OptionalDouble.empty(),
            ""));
    Loss weighed = new Loss(Species.COMMON_CARP, OptionalInt.empty(), OptionalDouble.of(1.75));
    Instant out = FakeFarm.NIGHT.plusSeconds(17);
    trips.add(
        trip,
        new Unloaded(
            "weighed",
            out,
            "Tove",
            Optional.empty(),
            List.of(weighed),
            OptionalDouble.empty(),
            ""));
    browser.driver().navigate().refresh();
    browser.until("all that was written", () -> browser.all("#written li").size() == 3);

    press("#entries summary");
    press("#written li:nth-child(2) button");
    browser.until("the form", () -> browser.find("#check").isDisplayed());
    browser.driver().navigate().refresh(); // it is kept on the device, to the last digit too
    browser.until("the form again", () -> browser.find("#check-note").isDisplayed());
    type("check-note", "by the old meter");
    press("#check-form button[type=submit]");
    browser.until("the check again", () -> !only().checks().get(0).note().isEmpty());
    assertThat(only().checks())
        .singleElement()
        .satisfies(
            check -> {
              assertThat(check.oxygenMgPerL()).hasValue(8.137);
              assertThat(check.temperatureC()).hasValue(12.3456);
              assertThat(check.time()).isEqualTo(seen);
            });

    press("#entries summary");
    press("#written li:nth-child(3) button");
    browser.until("the form", () -> browser.find("#unloading").isDisplayed());
    type("end-note", "weighed at the pool");
    press("#unload-form button[type=submit]");
    browser.until("the note", () -> !only().unloaded().orElseThrow().note().isEmpty());
    assertThat(only().unloaded().orElseThrow().losses()).containsExactly(weighed);
    assertThat(only().unloaded().orElseThrow().time()).isEqualTo(out);
  }

  @Test
  void whatIsReadAnew_leavesTheFocus_andWhatWasOpened() {
    browser.soon();
    begin();
    press("#entries summary");
    browser.run("document.querySelector('#written button').focus(); return true;");

    browser.untilAsked("/api/v1/trips/" + only().trip().id(), 3);

    assertThat(browser.run("return document.activeElement.textContent;"))
        .isEqualTo("Put this right");
    assertThat(browser.find("#written").isDisplayed()).isTrue();
  }

  @Test
  void pictureOfACheck_isMadeSmall_kept_andShown() throws Exception {
    begin();
    Path photo = folder.resolve("photo.png");
    Files.write(photo, PictureTest.picture("png", 2400, 1800));
    drive();
    press("#fish label:nth-child(1)");
    press("#meters summary");
    browser.find("#check-photo").sendKeys(photo.toString());
    press("#check-form button[type=submit]");

    browser.until("it is kept", () -> browser.text("#done").endsWith("With its picture."));
    press("#entries summary");
    browser.until(
        "it is shown",
        () ->
            Boolean.TRUE.equals(
                browser.run(
                    "const i = document.querySelector('#written img');"
                        + "return Boolean(i) && i.naturalWidth === 1280;")));
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
  }

  private void keep(String id, Entry entry) {
    assertThat(
            new RecordBook(book, "Sallowmere")
                .keep(id, "Maren", farm.now(), Optional.empty(), entry))
        .isInstanceOf(RecordBook.Outcome.Kept.class);
  }

  private Movement movementOfNow() {
    return new Movement(
        "Common carp",
        OptionalLong.of(60),
        OptionalDouble.of(140.0),
        Optional.of("water-stew"),
        Optional.empty(),
        farm.now(),
        farm.now().plusSeconds(3600),
        OptionalLong.empty(),
        Movement.Means.NOT_SAID,
        Movement.Papers.NONE,
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }

  @Test
  void loadingThatWasWrittenWrong_isPutRight_andStaysReadable() throws Exception {
    begin();
    keep(
        "water-stew",
        new Water(
            "Stew 2",
            Water.Type.POND,
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Water.Connection.NOT_SAID,
            Optional.empty()));
    keep("movement-now", movementOfNow());
    Instant before = only().loaded().time();
    press("#entries summary");
    press("#written li:nth-child(1) button");
    browser.until("the form", () -> browser.find("#loading").isDisplayed());
    browser.run("document.getElementById('loading-time').value = ''; return true;");
    press("#loading button[type=submit]");
    browser.until(
        "a time that was cleared is asked for",
        () -> browser.text("#trouble").equals("The fish went in at: a day and a time are needed."));
    press("#loading button[type=button]");
    press("#written li:nth-child(1) button");
    browser.until("the form again", () -> browser.find("#loading").isDisplayed());
    browser.until(
        "the movements", () -> browser.all("#loading-record option").size() == 2); // and none
    browser.run(
        "const s = document.getElementById('loading-record'); s.value = 'movement-now';"
            + " s.dispatchEvent(new Event('input', { bubbles: true })); return true;");
    type("loading-kg-0", "120");
    type("loading-to", "Round Pool");
    type("loading-bar", "190");
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    Files.createDirectories(Path.of("target", "pages"));
    Files.write(Path.of("target", "pages", "trip-loading-phone.png"), browser.picture());
    press("#loading button[type=submit]");

    browser.until("it counts", () -> only().trip().loadKg() == 120.0);
    assertThat(only().loaded().time()).isEqualTo(before);
    assertThat(only().trip().to()).isEqualTo("Round Pool");
    assertThat(only().trip().cylinderBar().orElse(0.0)).isEqualTo(190.0);
    assertThat(only().trip().movementRecord()).contains("movement-now");
    assertThat(only().trip().load().get(0).count()).hasValue(60);
    assertThat(only().entries()).hasSize(2);
    browser.until("the page has it", () -> browser.text("#title").contains("Round Pool"));
    assertThat(browser.find("#loading").isDisplayed()).isFalse();
    assertThat(browser.text("#written"))
        .contains("puts right what was written before")
        .contains("140 kg of common carp", "120 kg of common carp");
  }

  @Test
  void gaspingFish_getAnAnswerAtOnce() {
    begin();

    press("#fish label:nth-child(3)");
    press("#check-form button[type=submit]");

    browser.until("what to do", () -> browser.find("#advice").isDisplayed());
    assertThat(browser.text("#advice")).contains("Give more gas now");
  }

  @Test
  void halfFilledCheck_isThereAfterTheBrowserWasClosed_andGoneOnceWritten() {
    begin();
    press("#fish label:nth-child(2)");
    press("#meters summary");
    type("check-note", "one at the surface");

    browser.driver().navigate().refresh();
    browser.until("the trip again", () -> browser.text("#title").equals("Holding 2 to Long Pool"));

    assertThat(browser.find("#check-note").getDomProperty("value")).isEqualTo("one at the surface");
    assertThat(browser.find("#kept").isDisplayed()).isTrue();
    press("#check-form button[type=submit]");
    browser.until("it is kept", () -> browser.text("#done").startsWith("Written down"));
    assertThat(only().checks()).extracting(StopCheck::note).containsExactly("one at the surface");
    browser.driver().navigate().refresh();
    browser.until("the trip again", () -> browser.find("#check").isDisplayed());
    assertThat(browser.find("#kept").isDisplayed()).isFalse();
  }

  @Test
  void whatCannotBeUsed_isSaid_andNothingIsWritten() {
    begin();
    press("#meters summary");
    type("check-oxygen", "much");
    press("#check-form button[type=submit]");
    browser.until("first the fish", () -> browser.text("#trouble").startsWith("Say how the fish"));

    press("#fish label:nth-child(1)");
    press("#check-form button[type=submit]");

    browser.until("then the figure", () -> browser.text("#trouble").contains("is no number"));
    browser.run("localStorage.setItem('opercle-unit-temperature', '°F'); return true;");
    type("check-oxygen", "8");
    type("check-water", "140");
    press("#check-form button[type=submit]");
    browser.until(
        "what it must be, in the words and the unit of the form",
        () -> browser.text("#trouble").equals("Water: must be 28–113 °F."));
    browser.run("localStorage.removeItem('opercle-unit-temperature'); return true;");
    assertThat(only().checks()).isEmpty();
  }
}
