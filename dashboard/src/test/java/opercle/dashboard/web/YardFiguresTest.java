// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.openqa.selenium.Keys;
import org.openqa.selenium.interactions.Actions;

/** What the yard says of its own figures in a real browser: how old, where from, and who has it. */
class YardFiguresTest extends OnTheYard {

  @BeforeEach
  void forgetThePageBefore() {
    browser.complaints(); // its server went while it was still fetching
  }

  @AfterEach
  void nothingWentWrong() {
    assertThat(browser.complaints()).isEmpty();
  }

  @Test
  void oneOldValue_isStaleByItself_andTheOthersAreNot() {
    farm.set(
        ReadTimes.before(1, 700, 45)
            .of(FakeFarm.holding("h1", 9.1, 87.0, 12.4, 45.2, 64.0), FakeFarm.NIGHT));
    look();
    String water = ".card[data-key=h1] .values div:nth-child(2)";

    browser.until("the water is stale", () -> !browser.all(water + "[data-stale=true]").isEmpty());

    assertThat(browser.text(water)).contains("stale", "11 min ago", "12.4 °C");
    assertThat(PageChecks.isQuiet(browser, water + " dd")).isTrue();
    assertThat(browser.all(".card[data-key=h1] [data-stale=true]")).hasSize(1);
    assertThat(browser.text(".card[data-key=h1] .values .oxygen")).contains("just now");
    assertThat(browser.text(".card[data-key=h1] .values div:nth-child(3)"))
        .contains("45 s ago")
        .doesNotContain("stale");
    assertThat(browser.all(".card[data-stale=true]")).isEmpty();
    browser.phone();
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
  }

  @Test
  void oldOxygen_isStaleWithItsTimeInHand_thoughTheOtherProbesSpeak() {
    farm.set(
        ReadTimes.before(700, 1, 1)
            .of(FakeFarm.holding("h1", 9.1, 87.0, 12.4, 45.2, 64.0), FakeFarm.NIGHT));
    look();

    browser.until("it is stale", () -> browser.all(".card[data-stale=true]").size() == 1);
    assertThat(PageChecks.isQuiet(browser, ".card[data-key=h1] .figure")).isTrue();
    assertThat(PageChecks.isQuiet(browser, ".card[data-key=h1] .values div:nth-child(2) dd"))
        .isFalse();
    assertThat(browser.text("h1")).isEqualTo("Too little is known of Holding 1");
  }

  @Test
  void figures_sayWhereTheyAreFrom_byTouchAndByKey_withoutLeavingTheYard() {
    farm = FakeFarm.troubled();
    server.close();
    server = serve(farm);
    browser.phone();
    look();
    String opener = ".card[data-key=h2] .whence summary";
    browser
        .driver()
        .executeScript(
            "document.querySelector(arguments[0]).scrollIntoView({ block: 'center' });", opener);
    var place = browser.find(opener).getRect();
    assertThat(place.height).isGreaterThanOrEqualTo(48);
    Object scrolled = browser.driver().executeScript("return Math.round(scrollY);");
    int y = place.y - Integer.parseInt(String.valueOf(scrolled)) + place.height / 2;

    browser.touch("touchStart", place.x + place.width / 2, y);
    browser.touch("touchEnd");

    browser.until(
        "it is said", () -> browser.text(".card[data-key=h2] .whence ul").contains("Time in hand"));
    assertThat(browser.text(".card[data-key=h2] .whence ul"))
        .contains(
            "Time in hand: worked out at 02:11:07 from the oxygen of probe 1 at 02:11:06",
            "what these fish breathe (by the books for this load)",
            "down to the critical floor of 2.5 mg/L",
            "Oxygen: probe 1, read at 02:11:06.",
            "Gas: probe 1, read at 02:11:06.");
    assertThat(browser.text(".card[data-key=t1] .whence ul")).isEmpty();
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);

    browser.find(opener).sendKeys(Keys.ENTER);
    browser.until(
        "it is closed", () -> !browser.find(".card[data-key=h2] .whence ul").isDisplayed());
    assertThat(browser.driver().getCurrentUrl()).isEqualTo(root() + "/");
    browser.desk();
    new Actions(browser.driver())
        .moveToElement(browser.find(".card[data-key=h2] .figure"))
        .perform();
    assertThat(browser.find(".card[data-key=h2] .hand").getDomAttribute("title"))
        .startsWith("Time in hand: worked out at 02:11:07");
  }

  @ParameterizedTest
  @ValueSource(strings = {"light", "dark"})
  void accent_isForWhatCalls_andForNothingElse(String light) {
    browser.prefers(light);
    farm.set(
        FakeFarm.falling("h1", 7.2, -0.13, new Band(24.0, 31.5, 40.0), 0.0),
        GAS_STOPPED,
        new Alarm(
            "h1",
            AlarmCause.PROBE_SUSPECT,
            Priority.LOW,
            AlarmState.UNACKNOWLEDGED,
            FakeFarm.NIGHT,
            Optional.empty(),
            "Holding 1: do not trust the thermometer."));
    look();
    browser.until("it calls", () -> card("h1").contains("Act now"));
    assertThat(PageChecks.red(browser)).isNotEmpty();

    farm.acknowledge("h1", AlarmCause.GAS_LINE_STOPPED, "Maren");

    browser.until("somebody has it", () -> card("h1").contains("△"));
    for (String path : List.of("/", "/tank/h1", "/alarms")) {
      browser.go(root() + path);
      browser.until("the alarm stands", () -> browser.text("main").contains("Gas has stopped"));
      assertThat(PageChecks.red(browser)).as(path).isEmpty();
    }
    browser.go(root() + "/tank/h1");
    browser.until("it is drawn", () -> browser.text("#now").contains("31 min"));
    assertThat(browser.text("#now .band")).contains("△", "Maren has it").doesNotContain("Act now");
    PageChecks.accessible(browser);
    assertThat(browser.complaints()).allMatch(words -> words.contains("404")); // no book of alarms
  }

  @Test
  void alarmThatAnotherTankSpeaksFor_namesThatTank() {
    farm.set(
        farm.state("h2"),
        new Alarm(
            "h2",
            AlarmCause.GAS_LINE_STOPPED,
            Priority.HIGH,
            AlarmState.SUPPRESSED,
            FakeFarm.NIGHT,
            Optional.empty(),
            "Holding 2: no gas flow for 8 s.",
            false,
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.of(new AlarmId("h1", AlarmCause.GAS_LINE_STOPPED)),
            List.of(),
            OptionalDouble.empty()));
    look();

    browser.until(
        "it is said",
        () ->
            card("h2")
                .contains("The same trouble as in Holding 1, whose alarm speaks for it. Since"));
    assertThat(card("h2")).contains("Same trouble elsewhere");
  }
}
