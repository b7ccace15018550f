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
import opercle.analysis.book.RecordBook;
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

/** What is written down on a trip and put right again, in a real browser of a phone's size. */
class TripPageTest {

  @TempDir Path folder;
  private TripPhone phone;
  private Browser browser;

  @BeforeEach
  void open() {
    phone = TripPhone.onTheRoad(folder);
    browser = phone.browser;
  }

  @AfterEach
  void close() {
    phone.close();
  }

  private TripLog only() {
    return phone.only();
  }

  @Test
  void whatWasWrittenWrong_isPutRight_alsoAfterTheTrip() {
    phone.begin();
    phone.drive();
    browser.press("#fish label:nth-child(2)");
    browser.press("#check-form button[type=submit]");
    browser.until("the check", () -> only().checks().size() == 1);
    Instant seen = only().checks().get(0).time();
    browser.press("#unloading summary");
    browser.press("#unload-form button[type=submit]");
    browser.until("the end", () -> only().unloaded().isPresent());
    Instant out = only().unloaded().orElseThrow().time();

    browser.press("#entries summary");
    browser.press("#written li:nth-child(2) button");
    browser.until("the form", () -> browser.find("#check").isDisplayed());
    browser.press("#fish label:nth-child(1)");
    browser.type("#check-oxygen", "7.4");
    browser.press("#check-form button[type=submit]");
    browser.until(
        "the check again", () -> only().checks().get(0).oxygenMgPerL().orElse(0.0) == 7.4);
    assertThat(only().checks())
        .singleElement()
        .satisfies(
            check -> {
              assertThat(check.fish()).isEqualTo(Fish.LOW_AND_QUIET);
              assertThat(check.time()).isEqualTo(seen);
            });

    browser.press("#written li:nth-child(3) button");
    browser.until("the form", () -> browser.find("#unloading").isDisplayed());
    browser.type("#losses input", "2");
    browser.press("#unload-form button[type=submit]");
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
    phone.begin();
    String trip = only().trip().id();
    phone.at.farm.advance(Duration.ofHours(1));
    Instant seen = FakeFarm.NIGHT.minusSeconds(1800);
    phone.at.trips.add(
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
    phone.at.trips.add(
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

    browser.press("#entries summary");
    browser.press("#written li:nth-child(2) button");
    browser.until("the form", () -> browser.find("#check").isDisplayed());
    browser.driver().navigate().refresh(); // it is kept on the device, to the last digit too
    browser.until("the form again", () -> browser.find("#check-note").isDisplayed());
    browser.type("#check-note", "by the old meter");
    browser.press("#check-form button[type=submit]");
    browser.until("the check again", () -> !only().checks().get(0).note().isEmpty());
    assertThat(only().checks())
        .singleElement()
        .satisfies(
            check -> {
              assertThat(check.oxygenMgPerL()).hasValue(8.137);
              assertThat(check.temperatureC()).hasValue(12.3456);
              assertThat(check.time()).isEqualTo(seen);
            });

    browser.press("#entries summary");
    browser.press("#written li:nth-child(3) button");
    browser.until("the form", () -> browser.find("#unloading").isDisplayed());
    browser.type("#end-note", "weighed at the pool");
    browser.press("#unload-form button[type=submit]");
    browser.until("the note", () -> !only().unloaded().orElseThrow().note().isEmpty());
    assertThat(only().unloaded().orElseThrow().losses()).containsExactly(weighed);
    assertThat(only().unloaded().orElseThrow().time()).isEqualTo(out);
  }

  @Test
  void whatIsReadAnew_leavesTheFocus_andWhatWasOpened() {
    browser.soon();
    phone.begin();
    browser.press("#entries summary");
    browser.run("document.querySelector('#written button').focus(); return true;");

    browser.untilAsked("/api/v1/trips/" + only().trip().id(), 3);

    assertThat(browser.run("return document.activeElement.textContent;"))
        .isEqualTo("Put this right");
    assertThat(browser.find("#written").isDisplayed()).isTrue();
  }

  @Test
  void pictureOfACheck_isMadeSmall_kept_andShown() throws Exception {
    phone.begin();
    Path photo = folder.resolve("photo.png");
    Files.write(photo, PictureTest.picture("png", 2400, 1800));
    phone.drive();
    browser.press("#fish label:nth-child(1)");
    browser.press("#meters summary");
    browser.find("#check-photo").sendKeys(photo.toString());
    browser.press("#check-form button[type=submit]");

    browser.until("it is kept", () -> browser.text("#done").endsWith("With its picture."));
    browser.press("#entries summary");
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
    assertThat(phone.at.records.keep(id, "Maren", phone.at.farm.now(), Optional.empty(), entry))
        .isInstanceOf(RecordBook.Outcome.Kept.class);
  }

  private Movement movementOfNow() {
    return new Movement(
        "Common carp",
        OptionalLong.of(60),
        OptionalDouble.of(140.0),
        Optional.of("water-stew"),
        Optional.empty(),
        phone.at.farm.now(),
        phone.at.farm.now().plusSeconds(3600),
        OptionalLong.empty(),
        Movement.Means.NOT_SAID,
        Movement.Papers.NONE,
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }

  @Test
  void loadingThatWasWrittenWrong_isPutRight_andStaysReadable() throws Exception {
    phone.begin();
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
    browser.press("#entries summary");
    browser.press("#written li:nth-child(1) button");
    browser.until("the form", () -> browser.find("#loading").isDisplayed());
    browser.run("document.getElementById('loading-time').value = ''; return true;");
    browser.press("#loading button[type=submit]");
    browser.until(
        "a time that was cleared is asked for",
        () -> browser.text("#trouble").equals("The fish went in at: a day and a time are needed."));
    browser.press("#loading button[type=button]");
    browser.press("#written li:nth-child(1) button");
    browser.until("the form again", () -> browser.find("#loading").isDisplayed());
    browser.until(
        "the movements", () -> browser.all("#loading-record option").size() == 2); // and none
    browser.run(
        "const s = document.getElementById('loading-record'); s.value = 'movement-now';"
            + " s.dispatchEvent(new Event('input', { bubbles: true })); return true;");
    browser.type("#loading-kg-0", "120");
    browser.type("#loading-to", "Round Pool");
    browser.type("#loading-bar", "190");
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    Files.createDirectories(Path.of("target", "pages"));
    Files.write(Path.of("target", "pages", "trip-loading-phone.png"), browser.picture());
    browser.press("#loading button[type=submit]");

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
    phone.begin();

    browser.press("#fish label:nth-child(3)");
    browser.press("#check-form button[type=submit]");

    browser.until("what to do", () -> browser.find("#advice").isDisplayed());
    assertThat(browser.text("#advice")).contains("Give more gas now");
  }

  @Test
  void halfFilledCheck_isThereAfterTheBrowserWasClosed_andGoneOnceWritten() {
    phone.begin();
    browser.press("#fish label:nth-child(2)");
    browser.press("#meters summary");
    browser.type("#check-note", "one at the surface");

    browser.driver().navigate().refresh();
    browser.until("the trip again", () -> browser.text("#title").equals("Holding 2 to Long Pool"));

    assertThat(browser.find("#check-note").getDomProperty("value")).isEqualTo("one at the surface");
    assertThat(browser.find("#kept").isDisplayed()).isTrue();
    browser.press("#check-form button[type=submit]");
    browser.until("it is kept", () -> browser.text("#done").startsWith("Written down"));
    assertThat(only().checks()).extracting(StopCheck::note).containsExactly("one at the surface");
    browser.driver().navigate().refresh();
    browser.until("the trip again", () -> browser.find("#check").isDisplayed());
    assertThat(browser.find("#kept").isDisplayed()).isFalse();
  }

  @Test
  void whatCannotBeUsed_isSaid_andNothingIsWritten() {
    phone.begin();
    browser.press("#meters summary");
    browser.type("#check-oxygen", "much");
    browser.press("#check-form button[type=submit]");
    browser.until("first the fish", () -> browser.text("#trouble").startsWith("Say how the fish"));

    browser.press("#fish label:nth-child(1)");
    browser.press("#check-form button[type=submit]");

    browser.until("then the figure", () -> browser.text("#trouble").contains("is no number"));
    browser.run("localStorage.setItem('opercle-unit-temperature', '°F'); return true;");
    browser.type("#check-oxygen", "8");
    browser.type("#check-water", "140");
    browser.press("#check-form button[type=submit]");
    browser.until(
        "what it must be, in the words and the unit of the form",
        () -> browser.text("#trouble").equals("Water: must be 28–113 °F."));
    browser.run("localStorage.removeItem('opercle-unit-temperature'); return true;");
    assertThat(only().checks()).isEmpty();
  }
}
