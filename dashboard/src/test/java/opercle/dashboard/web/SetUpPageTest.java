// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.OptionalLong;
import opercle.analysis.book.MappingRecords.Assigned;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmWriter;
import opercle.analysis.farm.Tank;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;
import org.openqa.selenium.support.ui.Select;

/** Setting up tanks, fish and probes, with a thumb, in a real browser, without a reload. */
class SetUpPageTest extends InTheBrowser {

  @TempDir Path folder;
  private final FakeFarm farm = FakeFarm.quiet();
  private KeptSetUp setUp;

  @BeforeEach
  void look() {
    setUp = closing(KeptSetUp.in(folder, farm.farm()));
    serve(farm, PastAlarms.NONE, List.of(setUp.api()));
    browser.phone();
    assertThat(browser.complaints()).isNotNull(); // those of other tests are done with
    open("/setup");
    browser.driver().executeScript("localStorage.setItem('opercle-name', 'Maren');");
    open("/setup");
  }

  private void open(String path) {
    go(path);
    browser.until("the tanks are there", () -> browser.all("#tanks article").size() == 5);
  }

  private Tank tank(String id) {
    return setUp.farm.farm().tank(id).orElseThrow();
  }

  private void untilSaid(String words) {
    browser.until("it is said: " + words, () -> browser.text("#said").contains(words));
  }

  @Test
  void unknownTopic_isAssignedInTwoTaps_andTakenBackInOne() {
    String row = "#unknown li[data-key='shed/probe7/do '] ";
    assertThat(browser.text(row + ".figure")).isEqualTo("8.62");

    browser.press(row + "button[value=h2]");
    assertThat(browser.text(row + "button")).as("the likeliest first").contains("Oxygen, mg/L");
    browser.press(row + "button[value=oxygen]");

    untilSaid("shed/probe7/do feeds Holding 2 now: Oxygen, mg/L.");
    assertThat(setUp.probes.assigned())
        .extracting(Assigned::mapping)
        .extracting(TopicMapping::tank, TopicMapping::quantity)
        .containsExactly(org.assertj.core.groups.Tuple.tuple("h2", Quantity.OXYGEN));
    browser.until("it is assigned", () -> browser.all("#assigned li").size() == 1);
    browser.until("the focus is where it went", () -> "Take back shed/probe7/do".equals(focused()));
    PageChecks.accessible(browser);

    setUp.farm.change(
        OptionalLong.empty(),
        "Ines",
        before ->
            new Farm(
                before.name(),
                before.altitudeM(),
                before.tanks().stream().filter(t -> !t.id().equals("h2")).toList()));
    browser.until(
        "its tank was taken out, and is not named by a short name that nobody typed here",
        () ->
            browser
                .text("#assigned")
                .startsWith("A tank that is no longer in the farm: Oxygen, sent under"));

    browser.press("#assigned button");
    untilSaid("feeds no tank any more");
    assertThat(setUp.probes.assigned()).isEmpty();
    browser.until("and back", () -> "Holding 1".equals(focused()));
    assertThat(browser.complaints()).isEmpty();
  }

  @Test
  void valueOfAProbeThatHasGoneQuiet_doesNotLookAlive() {
    String quiet = "#tank-h1 .probes li[data-stale=true]";
    assertThat(browser.text(quiet))
        .startsWith("Water temperature: 12.4 °C")
        .contains("stale", "6 min");
    assertThat(PageChecks.isQuiet(browser, quiet)).isTrue();
    assertThat(browser.text("#tank-h1 .probes li[data-stale=false]"))
        .startsWith("Oxygen: 9.1 mg/L")
        .doesNotContain("stale");
  }

  @Test
  void fish_arePutIn_andTakenOut_fromTheTanksOwnPageToo() throws IOException {
    open("/setup?tank=h1&do=add");
    browser.until("the form is open", () -> !browser.all("#add-h1-kg").isEmpty());
    browser.type("#add-h1-kg", "11");
    browser.type("#add-h1-count", "14");
    browser.find("#add-h1-count").sendKeys(Keys.ENTER);
    untilSaid("Holding 1: noted");
    assertThat(tank("h1").loadKg()).isEqualTo(66.0);

    browser.press("#tank-h1 button[value=take]");
    browser.type("#take-h1-kg", "600");
    browser.press("#tank-h1 button[type=submit]");
    browser.until(
        "what is wrong stands at the field",
        () -> browser.text("#take-h1-kg-wrong").equals("600 will not do. Must be: at most 66 kg"));
    assertThat(browser.find("#take-h1-kg").getAttribute("aria-invalid")).isEqualTo("true");
    Pictures.keepInEveryForm(browser, "setup-fish", "#tank-h1 form");

    browser.run("localStorage.setItem('opercle-unit-mass', 'lb'); return true;");
    browser.press("#tank-h1 button[type=submit]");
    browser.until(
        "in the unit of the field",
        () -> browser.text("#take-h1-kg-wrong").equals("600 will not do. Must be: at most 145 lb"));
    browser.run("localStorage.removeItem('opercle-unit-mass'); return true;");

    browser.type("#take-h1-kg", "6");
    browser.press("#tank-h1 button[type=submit]");
    browser.until("it is done", () -> tank("h1").loadKg() == 60.0);
  }

  @Test
  void tank_isAdded_changed_andTakenOut() throws IOException {
    browser.press("#add-tank");
    browser.type("#new-id", "h7");
    browser.type("#new-name", "Holding 7");
    browser.type("#new-waterLitres", "nine");
    browser.type("#new-supply-flowLPerMin", "20");
    browser.press("#new-tank button[type=submit]");
    browser.until(
        "what is wrong stands at the field",
        () -> browser.text("#new-waterLitres-wrong").equals("\"nine\" is not a number of L."));
    Pictures.keepInEveryForm(browser, "setup-tank", "#new-tank form");
    browser.type("#new-waterLitres", "900");
    browser.press("#new-tank button[type=submit]");
    browser.until("it is there", () -> setUp.farm.hasTank("h7"));
    browser.until("and is shown", () -> browser.all("#tanks article").size() == 6);

    browser.press("#tank-h7 button[value=change]");
    new Select(browser.find("#change-h7-supply-gas")).selectByVisibleText("Oxygen");
    browser.press("#tank-h7 button[type=submit]");
    browser.until("it is changed", () -> tank("h7").supply().gas() == Tank.Gas.OXYGEN);

    browser.press("#tank-h7 button[value=remove]");
    browser.press("#tank-h7 button[type=submit]");
    browser.until("it is gone", () -> browser.all("#tanks article").size() == 5);
    assertThat(setUp.farm.hasTank("h7")).isFalse();
  }

  @Test
  void tankThatAnotherHasChangedMeanwhile_isShownInTheForm_andSentAgainOnPurpose() {
    browser.press("#tank-h1 button[value=change]");
    browser.type("#change-h1-depthM", "0.9");
    browser.type("#change-h1-waterLitres", "1400");
    setUp.farm.change(
        OptionalLong.empty(),
        "Ines",
        before ->
            new Farm(
                before.name(),
                before.altitudeM(),
                before.tanks().stream()
                    .map(t -> t.id().equals("h1") ? SetUpPageTest.named(t, "Front", 1300) : t)
                    .toList()));

    browser.press("#tank-h1 button[type=submit]");
    browser.until(
        "it is refused with what the other did",
        () -> browser.text("#tank-h1 form .trouble").contains("Ines has changed it meanwhile."));
    browser.until(
        "what only the other touched is theirs",
        () -> "Front".equals(browser.find("#change-h1-name").getDomProperty("value")));
    assertThat(browser.text("#change-h1-waterLitres-wrong"))
        .isEqualTo("Meanwhile changed to 1300. What you typed stands above.");
    assertThat(tank("h1").waterLitres()).isEqualTo(1300.0);

    browser.press("#tank-h1 button[type=submit]");
    browser.until("it is done on purpose", () -> tank("h1").waterLitres() == 1400.0);
    assertThat(tank("h1").name()).isEqualTo("Front");
    assertThat(tank("h1").depthM()).isEqualTo(0.9);
  }

  private static Tank named(Tank t, String name, double waterLitres) {
    return new Tank(
        t.id(), name, t.kind(), waterLitres, t.depthM(), t.supply(), t.loads(), t.floors());
  }

  @Test
  void file_isLookedThrough_saysWhatWouldChange_andAsksOnce() throws IOException {
    Path bad = folder.resolve("bad.yaml");
    Files.writeString(bad, "farm: Sallowmere\naltitudeM: high\ntanks: []\n");
    browser.find("#file").sendKeys(bad.toString());
    browser.until(
        "every problem is told with its line",
        () ->
            browser
                    .text("#file-answer")
                    .contains("Line 2: altitudeM: \"high\" is not a number of m.")
                && browser.text("#file-answer").contains("Line 3: tanks: "));

    Path good = folder.resolve("good.yaml");
    Files.writeString(
        good, FarmWriter.write(setUp.farm.farm()).replace("waterLitres: 650", "waterLitres: 600"));
    browser.find("#file").sendKeys(good.toString());
    browser.until(
        "what would change",
        () -> browser.text("#file-answer").contains("Trailer tank: water is 600 L, was 650 L."));
    assertThat(tank("t1").waterLitres()).isEqualTo(650.0);
    PageChecks.accessible(browser);

    browser.press("#file-answer button.solid");
    untilSaid("The farm is as the file says");
    assertThat(tank("t1").waterLitres()).isEqualTo(600.0);
  }

  /** What has the focus calls itself so. */
  private static Object focused() {
    return browser.run(
        "const n = document.activeElement; return n.getAttribute('aria-label') ?? n.textContent;");
  }

  @Test
  void valueInAMessage_isNamedWithoutTheSignsOfPrograms() {
    assertThat(browser.text("#unknown"))
        .contains("trailer/box, the value called “water › degC”")
        .doesNotContain("/water/degC");
  }

  @Test
  void valueThatNoLongerComes_isStale_evenWhereItFeedsNoTank() {
    String row = "#unknown li[data-key='shed/probe7/do '] ";
    assertThat(browser.find(row + ".stale").isDisplayed()).isFalse();

    farm.advance(Duration.ofMinutes(10));

    browser.until("it is called stale", () -> browser.find(row + ".stale").isDisplayed());
    assertThat(browser.text(row)).contains("10 min ago").doesNotContain("just now");
    assertThat(PageChecks.isQuiet(browser, row + ".figure")).isTrue();
  }

  @Test
  void answerThatHasGrownOld_isNoAnswer_andItsValuesAge() {
    browser.run(
        "const ask = window.fetch;"
            + "window.fetch = (what, how) => String(what) === '/api/v1/setup'"
            + " ? Promise.reject(new Error('cut')) : ask(what, how); return true;");
    farm.advance(Duration.ofSeconds(50));
    browser.until("values age", () -> browser.text("#unknown").contains("51 s ago"));
    assertThat(browser.find("#old").isDisplayed()).isFalse();

    browser.run("const now = Date.now; Date.now = () => now() + 20000; return true;");

    browser.until("it says so", () -> browser.text("#old").startsWith("Nothing new is known here"));
    assertThat(browser.find("main").getDomAttribute("data-stale")).isEqualTo("true");
    assertThat(PageChecks.isQuiet(browser, "#unknown .figure")).isTrue();
    PageChecks.accessible(browser);
  }
}
