// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Base64;
import java.util.Map;
import opercle.analysis.stock.Fish;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.dashboard.trips.Paper;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A whole trip in a real browser of a phone's size: from the plan to the report on paper. */
class WholeTripPageTest {

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

  /** Counts what a finger does from now on, until the next page. */
  private void countTaps() {
    browser.run(
        "if (window.taps === undefined) { addEventListener('pointerdown', (e) => {"
            + " window.taps += e.isTrusted ? 1 : 0; }, true); } window.taps = 0; return true;");
  }

  private long taps() {
    return ((Number) browser.run("return window.taps;")).longValue();
  }

  private void startFromThePlan() {
    phone.go("/plan?tank=t1");
    browser.until(
        "the answer",
        () ->
            "false".equals(browser.find("#plan").getDomAttribute("data-stale"))
                && browser.find("#answer").isDisplayed());
    browser.press("#to-trip");
    browser.until("the plan goes with it", () -> browser.find("#by-plan").isDisplayed());
    browser.until("it can be written", () -> browser.find("#start").isDisplayed());
    assertThat(browser.text("#by-plan")).contains("140 kg");
    browser.type("#from", "Holding 2");
    browser.type("#to", "Long Pool");
    browser.press("#start-form button[type=submit]");
    phone.untilTheTrip();
  }

  private void checksInFourTapsOrFewer() {
    countTaps();
    browser.press("#fish label:nth-child(1)");
    browser.press("#check-form button[type=submit]");
    browser.until("the check", () -> phone.only().checks().size() == 1);
    browser.until("it is said", () -> browser.text("#done").contains("Maren"));
    assertThat(taps()).as("how the fish are, and that it is written").isEqualTo(2);

    countTaps();
    browser.press("#fish label:nth-child(2)");
    browser.press("#meters summary");
    browser.find("#check-oxygen").click();
    browser.find("#check-oxygen").sendKeys("9,3");
    browser.press("#check-form button[type=submit]");
    browser.until("the second", () -> phone.only().checks().size() == 2);
    assertThat(taps()).as("with the hand meter").isEqualTo(4);
    assertThat(phone.only().checks())
        .extracting(StopCheck::fish)
        .containsExactly(Fish.LOW_AND_QUIET, Fish.RESTLESS);
    assertThat(phone.only().checks().get(1).oxygenMgPerL()).hasValue(9.3);
  }

  private void halfFilledCheckStays() {
    browser.until("the form is empty again", () -> !browser.find("#kept").isDisplayed());
    browser.press("#fish label:nth-child(2)");
    browser.driver().navigate().refresh();
    phone.untilTheTrip();
    assertThat(browser.find("#fish label:nth-child(2) input").isSelected()).isTrue();
    assertThat(browser.find("#kept").isDisplayed()).isTrue();
    assertThat(phone.only().checks()).as("nothing is written yet").hasSize(2);
    browser.press("#check-form button[type=submit]");
    browser.until("the draft", () -> phone.only().checks().size() == 3);
  }

  private void unloadWithLosses() {
    phone.drive();
    browser.press("#unloading summary");
    browser.type("#lost-common-carp", "2");
    browser.type("#end-bar", "120");
    browser.press("#unload-form button[type=submit]");
    browser.until("the end", () -> browser.text("#done").startsWith("The trip has ended"));
    assertThat(phone.only().unloaded().orElseThrow().losses())
        .singleElement()
        .satisfies(loss -> assertThat(loss.count()).hasValue(2));
    assertThat(phone.at.versions.newest().orElseThrow().farm().tank("t1").orElseThrow().isStocked())
        .as("fish in the tank")
        .isFalse();
    assertThat(browser.find("#check").isDisplayed()).isFalse();
  }

  private void review() throws Exception {
    assertThat(browser.text("#subtitle")).contains("60 min");
    assertThat(browser.text("#report-parts")).contains("Lowest", "8.");
    browser.until("the picture", () -> !browser.all("#picture svg").isEmpty());
    PageChecks.everythingFits(browser);
    Files.createDirectories(Path.of("target", "pages"));
    Files.write(Path.of("target", "pages", "trip-ended-phone.png"), browser.picture());
    browser.run(
        "document.querySelectorAll('#report-parts .whence summary').forEach((s) => s.click());"
            + "return true;");
    browser.until("where it is from", () -> !browser.all("#report-parts .whence li").isEmpty());
    assertThat(browser.text("#report-parts"))
        .contains("written down by Maren at ", "from the readings of Trailer tank from ");
  }

  /** Saved by its button, as the browser saves it. */
  private Path savedPdf() throws Exception {
    Path saved = Files.createDirectory(folder.resolve("saved"));
    browser
        .driver()
        .executeCdpCommand(
            "Browser.setDownloadBehavior",
            Map.of("behavior", "allow", "downloadPath", saved.toString()));
    browser.press("#pdf");
    return Awaitility.await("the PDF")
        .until(
            () -> {
              try (var files = Files.list(saved)) {
                return files.filter(f -> f.toString().endsWith(".pdf")).toList();
              }
            },
            files -> !files.isEmpty())
        .get(0);
  }

  @Test
  void wholeTrip_onAPhone_fromThePlanToTheReport() throws Exception {
    startFromThePlan();
    assertThat(phone.only().trip().loadKg()).isEqualTo(140.0);
    assertThat(phone.only().trip().plan().orElseThrow().minutes())
        .isEqualTo(phone.only().trip().expectedMinutes().orElseThrow());
    phone.drive();
    checksInFourTapsOrFewer();
    halfFilledCheckStays();
    unloadWithLosses();
    review();
    Path pdf = savedPdf();

    browser.press("#report");
    browser.until("the report", () -> !browser.all(".trip-report h2").isEmpty());
    PageChecks.everythingFits(browser);
    String report = reportWords();
    assertThat(report).contains("Holding 2 to Long Pool", "2 common carp");
    Paper.read(pdf, folder).requireOneWholePage(report);
    Paper.read(Files.write(folder.resolve("printed.pdf"), printed()), folder)
        .requireOneWholePage(report);

    phone.go("/trips");
    browser.until("the list", () -> browser.text("#list").contains("Holding 2 to Long Pool"));
    assertThat(browser.text("#rows")).contains("common carp");
    assertThat(browser.complaints())
        .filteredOn(words -> !words.contains("AudioContext")) // no sound before the first tap
        .isEmpty();
  }

  /** Title and sections, as they are shown. */
  private String reportWords() {
    return String.valueOf(
        browser.run(
            "return [...document.querySelectorAll('main h1, main section')]"
                + ".map((n) => n.innerText).join('\\n');"));
  }

  /** The page on paper, as the browser prints it. */
  private byte[] printed() {
    Map<String, Object> answer =
        browser.driver().executeCdpCommand("Page.printToPDF", Map.of("preferCSSPageSize", true));
    return Base64.getDecoder().decode(String.valueOf(answer.get("data")));
  }
}
