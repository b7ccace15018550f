// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmEvent.Kind;
import opercle.analysis.alarm.AlarmGuide;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.FirstAction;
import opercle.analysis.alarm.Priority;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.openqa.selenium.WebElement;

/** The pages about alarms in a real browser: the list, the figures, and advice on a tank's page. */
class AlarmsPageTest extends InTheBrowser {

  private static final long DAY_SECONDS = 86_400;

  @TempDir Path folder;
  private final FakeFarm farm = FakeFarm.troubled();
  private KeptAlarms kept;
  private DashboardServer server;

  @BeforeEach
  void start() {
    kept = closing(KeptAlarms.in(folder));
    server = serve(farm, kept.past());
  }

  @AfterEach
  void nothingWentWrong() {
    assertThat(browser.complaints()).isEmpty();
  }

  @Test
  void alarms_standing_andOfTheLastWeek_areTold() {
    go("/alarms");

    browser.until("the past is there", () -> browser.all("#past li").size() == 2);
    assertThat(browser.text("h1")).isEqualTo("3 alarms stand");
    assertThat(browser.text("#standing")).contains("Holding 2", "Gas has stopped", "I have it");
    assertThat(browser.text("#past"))
        .contains("Quarantine: A probe has gone quiet", "Nobody said “I have it”. It still stands.")
        .contains("Holding 2: Gas has stopped", "Maren had it after 2 min. Gone after 12 min.")
        .contains("<b>in words</b>");
  }

  /** Rows stay under a finger, but nobody who scrolls on and on is kept from what is worse. */
  @Test
  void newAlarm_isNotHeldBelowALesserOne_forLong() {
    go("/alarms");
    browser.until("those that stand are drawn", () -> standing().size() == 3);
    browser.run("setInterval(() => dispatchEvent(new Event('pointermove')), 100); return true;");

    farm.set(
        FakeFarm.falling("h1", 7.9, -0.2, new Band(12.0, 15.0, 21.0), 0.0), OnTheYard.GAS_STOPPED);

    browser.until("it is there", () -> standing().contains("Holding 1"));
    assertThat(standing()).as("nothing has moved under the hand").last().isEqualTo("Holding 1");
    browser.until(
        "it stands above the lesser ones all the same",
        () -> standing().indexOf("Holding 1") < standing().indexOf("Trailer tank"));
  }

  private static List<String> standing() {
    return browser.all("#standing h3").stream().map(WebElement::getText).toList();
  }

  @Test
  void earlier_fetchesTheWeekBefore() {
    go("/alarms");
    browser.until("the past is there", () -> browser.all("#past li").size() == 2);

    browser.find("#earlier").click();

    browser.until("more is there", () -> browser.all("#past li").size() == 3);
    assertThat(browser.text("#past li:last-child")).contains("Holding 3: Oxygen is low");
  }

  /** What came while somebody had looked further back is told too, and so is how it ended. */
  @Test
  void past_hasNoHole_betweenWhatIsNewAndWhatIsEarlier() {
    Instant first = FakeFarm.NIGHT.minus(Duration.ofHours(30));
    kept.tell(lowOxygen(first, 230));
    kept.tell(List.of(warmWater(Kind.RAISED, 0), warmWater(Kind.CLEARED, 2 * DAY_SECONDS)));
    go("/alarms");
    browser.until("a page of the past is there", () -> browser.all("#past li").size() == 198);
    earlier("the rest of the week", 233);
    assertThat(browser.text("#past"))
        .contains("What was done about it at first is under Earlier.")
        .doesNotContain("Holding 3: Oxygen is low");
    earlier("the week before", 234);
    assertThat(browser.text("#past")).doesNotContain("under Earlier");

    kept.tell(lowOxygen(first.plusSeconds(230 * 60L), 205)); // more than a page holds
    browser.find("#past li:last-child .row button").click(); // saying so asks for the newest
    browser.find("#name").sendKeys("Maren");
    browser.find("dialog button[type=submit]").click();

    browser.until("all of it is there", () -> browser.all("#past li").size() == 439);
  }

  /** One a minute. */
  private static List<AlarmEvent> lowOxygen(Instant from, int alarms) {
    return IntStream.range(0, alarms)
        .mapToObj(minute -> from.plusSeconds(60L * minute))
        .map(
            since ->
                KeptAlarms.event(
                    Kind.RAISED, "h1", AlarmCause.OXYGEN_LOW, Priority.MEDIUM, since, 0))
        .toList();
  }

  private static AlarmEvent warmWater(Kind kind, long afterSeconds) {
    return KeptAlarms.event(
        kind,
        "h3",
        AlarmCause.WATER_WARM,
        Priority.LOW,
        FakeFarm.NIGHT.minusSeconds(8 * DAY_SECONDS),
        afterSeconds);
  }

  private void earlier(String what, int alarms) {
    browser.find("#earlier").click();
    browser.until(what + " is there", () -> browser.all("#past li").size() == alarms);
  }

  @Test
  void verdict_isGivenOnThePage_andStays() {
    go("/alarms");
    browser.until("the past is there", () -> browser.all("#past li").size() == 2);
    String nothing = "#past li:nth-child(2) .row button:nth-child(2)";

    browser.find(nothing).click();
    browser.find("#name").sendKeys("Maren");
    browser.find("dialog button[type=submit]").click();

    browser.until(
        "it is noted", () -> "true".equals(browser.find(nothing).getDomAttribute("aria-pressed")));
    go("/alarms/figures");
    browser.until("the figures are there", () -> !browser.all("#rows tr").isEmpty());
    assertThat(browser.text("#wakings")).contains("There was nothing to do.");
  }

  @Test
  void figures_standBesideWhatTheyShouldBe_weekByWeek() {
    go("/alarms/figures");
    browser.until("the figures are there", () -> !browser.all("#rows tr").isEmpty());

    assertThat(browser.text("#span")).contains("The week from Monday 9 March 2026, so far");
    assertThat(browser.text("#rows"))
        .contains(
            "Calls in a day, on average",
            "150 or fewer, never over 300",
            "Woken for nothing",
            "ours");
    assertThat(browser.find("#after").isEnabled()).isFalse();

    browser.find("#before").click();
    browser.until("it is the week before", () -> browser.text("#span").contains("Monday 2 March"));
    assertThat(browser.text("#rows"))
        .contains("1 (0 to act now, 1 to go and look, 0 when you can)");
    assertThat(browser.find("#after").isEnabled()).isTrue();
  }

  @ParameterizedTest
  @ValueSource(strings = {"/alarms", "/alarms/figures", "/tank/h1"})
  void page_fits_andCanBeUsedByAll(String path) {
    farm.set(
        farm.state("h1"),
        new Alarm(
            "h1",
            AlarmCause.GAS_LINE_STOPPED,
            Priority.HIGH,
            AlarmState.UNACKNOWLEDGED,
            FakeFarm.NIGHT.minusSeconds(20),
            Optional.empty(),
            "Holding 1: no gas flow for 20 s. About 60 min in hand. "
                + FirstAction.RESTORE_BLOWER.sentence()));
    go(path);
    browser.until("it is there", () -> !browser.all("main li, main tr").isEmpty());

    PageChecks.accessible(browser);
    PageChecks.everythingFits(browser);
    browser.phone();
    PageChecks.everythingFits(browser);
  }

  @Test
  void tankPage_saysWhatToDo_andHowToBeSure() {
    farm.set(
        farm.state("h1"),
        new Alarm(
            "h1",
            AlarmCause.GAS_LINE_STOPPED,
            Priority.HIGH,
            AlarmState.UNACKNOWLEDGED,
            FakeFarm.NIGHT.minusSeconds(20),
            Optional.empty(),
            "Holding 1: no gas flow for 20 s. About 60 min in hand. "
                + FirstAction.RESTORE_BLOWER.sentence()));
    go("/tank/h1");

    browser.until(
        "the advice is there, and no longer in the message too",
        () -> browser.text(".message").equals("No gas flow for 20 s. About 60 min in hand."));
    assertThat(browser.text(".advice"))
        .contains(
            FirstAction.RESTORE_BLOWER.sentence(),
            AlarmGuide.of(AlarmCause.GAS_LINE_STOPPED).toBeSure());
  }

  @ParameterizedTest
  @EnumSource(AlarmCause.class)
  void wordsOfThePages_areThoseOfTheGuide(AlarmCause cause) {
    go("/offline"); // any page with modules, and with nothing under way that the next one would
    // hear
    AlarmGuide guide = AlarmGuide.of(cause);
    String script =
        """
        const m = await import('/assets/words.js');
        const careful = (gas) => m.caution({supply: {gas}}, [{cause: '%s'}]);
        return [m.causeWords('%s'), careful('oxygen'), careful('air')].join('|');
        """
            .formatted(cause.id(), cause.id());

    assertThat(browser.run(script))
        .isEqualTo(
            guide.title()
                + (guide.gasWork()
                    ? "|" + AlarmGuide.OXYGEN_CAUTION + "|" + AlarmGuide.BLOWER_CAUTION
                    : "||"));
  }

  /** Of more than one alarm of a tank, too: in words, for those who do not see its shape. */
  @Test
  void urgencyOfEachAlarm_isSaidInWords() {
    go("/alarms");

    browser.until("they are told", () -> browser.text("h1").equals("3 alarms stand"));
    assertThat(browser.all("#standing .urgency"))
        .extracting(WebElement::getText)
        .containsExactly("Act now", "Maren has it; it called “Go and look”", "When you can");
    assertThat(browser.all("#standing .urgency"))
        .noneMatch(word -> word.getDomAttribute("aria-hidden") != null);
  }

  @Test
  void serverThatIsLost_leavesNoSentenceThatReassures() {
    go("/alarms");
    browser.until("they are told", () -> browser.text("h1").equals("3 alarms stand"));

    server.close();

    browser.until(
        "it is said that this is old",
        () -> browser.text("h1").equals("3 alarms stood when last heard"));
    assertThat(browser.text("main")).doesNotContain("No alarm stands");
    assertThat(browser.complaints()).isNotNull(); // of requests that were cut off
  }

  @Test
  void tanksThatWereNeverTold_areNotWithoutAlarm() {
    String held =
        browser.before(
            "const ask = window.fetch; window.fetch = (what, how) =>"
                + " String(what).startsWith('/api/v1/tanks') ? new Promise(() => {}) : ask(what, how);");
    go("/alarms");

    browser.until("the farm is heard", () -> !browser.text("#clock").isEmpty());
    assertThat(browser.text("h1")).isEqualTo("Asking after the alarms");
    assertThat(browser.text("main")).doesNotContain("No alarm stands");
    browser.noLonger(held);
  }

  /** Two that are much the same change places every few seconds: not while somebody reaches out. */
  @Test
  void tanksOfTheSameUrgency_doNotChangePlaces_underAHand() {
    farm.set(
        FakeFarm.falling("h1", 8.3, -0.19, new Band(24.0, 31.4, 40.0), 0.0), stopped("31 min"));
    go("/alarms");
    browser.until("they are told", () -> browser.text("h1").equals("4 alarms stand"));
    String first = "#standing > section:first-child ";
    assertThat(browser.text(first + "h3")).isEqualTo("Holding 1");
    browser.run("document.querySelector('" + first + ".have').focus(); return true;");

    farm.set(
        FakeFarm.falling("h1", 8.3, -0.19, new Band(24.0, 33.0, 40.0), 0.0), stopped("33 min"));

    browser.until("that is heard", () -> browser.text("#standing").contains("33 min"));
    assertThat(browser.text(first + "h3")).isEqualTo("Holding 1");
    assertThat(browser.run("return document.activeElement.getAttribute('aria-label');"))
        .isEqualTo("I have it: Gas has stopped, Holding 1");
  }

  private static Alarm stopped(String inHand) {
    return new Alarm(
        "h1",
        AlarmCause.GAS_LINE_STOPPED,
        Priority.HIGH,
        AlarmState.UNACKNOWLEDGED,
        FakeFarm.NIGHT.minusSeconds(20),
        Optional.empty(),
        "Holding 1: no gas flow for 20 s. About %s in hand.".formatted(inHand));
  }
}
