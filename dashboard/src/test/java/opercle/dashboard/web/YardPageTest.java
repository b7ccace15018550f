// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The yard in a real browser. */
class YardPageTest extends OnTheYard {

  @AfterEach
  void nothingWentWrong() {
    assertThat(browser.complaints())
        .filteredOn(c -> !c.contains("ERR_CONNECTION") && !c.contains("ERR_INTERNET"))
        .isEmpty();
  }

  @Test
  void values_move_withoutAReload() {
    look();
    browser.driver().executeScript("window.stayed = true;");

    farm.set(FakeFarm.holding("h1", 8.3, 80.0, 13.1, 44.0, 52.0));

    browser.until("oxygen moves", () -> card("h1").contains("8.3 mg/L"));
    assertThat(card("h1")).contains("13.1 °C", "44 L/min", "if gas stops: 52 min");
    assertThat(browser.driver().executeScript("return window.stayed;")).isEqualTo(true);
  }

  @Test
  void storeThatTakesNothing_isSaidAtTheTop_untilItIsWellAgain() {
    look();
    assertThat(browser.find("#unwell").isDisplayed()).isFalse();

    farm.suffer("Readings are not being stored: the disk is full.");
    browser.until("the trouble is said", () -> browser.find("#unwell").isDisplayed());
    assertThat(browser.text("#unwell-words"))
        .isEqualTo("Readings are not being stored: the disk is full.");

    farm.suffer();
    browser.until("the trouble is over", () -> !browser.find("#unwell").isDisplayed());
  }

  @Test
  void holdingFarm_saysSo_inOneSentence() {
    look();

    assertThat(browser.text("h1")).isEqualTo("All tanks are holding");
    assertThat(card("h1")).contains("holding", "if gas stops: 64 min", "87 %", "No alarm");
  }

  @Test
  void alarm_appears_firstAndInWords_andIsReadOut() {
    look();

    farm.set(FakeFarm.falling("h1", 7.2, -0.13, new Band(24.0, 31.5, 40.0), 0.0), GAS_STOPPED);

    browser.until(
        "the heading says it", () -> browser.text("h1").equals("Holding 1 needs you now"));
    assertThat(card("h1"))
        .contains("31 min", "Act now", "Gas has stopped", "No gas flow for 8 s.", "switch off");
    assertThat(browser.text("[aria-live=polite]"))
        .isEqualTo("Act now. Holding 1: Gas has stopped.");
    browser.until("it comes first", () -> browser.text(".card h2").equals("Holding 1"));
  }

  @Test
  void gasThatStopped_countsAtOnce_thoughOxygenHardlyFallsYet() {
    look();

    farm.set(FakeFarm.falling("h1", 9.0, -0.01, new Band(420.0, 640.0, 1300.0), 0.1), GAS_STOPPED);

    browser.until("it is said", () -> card("h1").contains("Act now"));
    assertThat(card("h1"))
        .contains("12 min", "8 to 17 min likely")
        .doesNotContain("10 h", "if gas");
  }

  @Test
  void acknowledging_asksForTheNameOnce_andTellsTheFarm() {
    farm.set(FakeFarm.falling("h1", 7.2, -0.13, new Band(24.0, 31.5, 40.0), 0.0), GAS_STOPPED);
    look();
    browser.driver().executeScript("localStorage.clear();");
    browser.driver().navigate().refresh();
    browser.until("the button is there", () -> !browser.all(".have").isEmpty());

    browser.find(".have").click();
    browser.find("dialog #name").sendKeys("Maren");
    browser.find("dialog [type=submit]").click();

    browser.until("who has it is shown", () -> card("h1").contains("Maren has it."));
    assertThat(farm.state("h1").alarms().get(0).acknowledgedBy()).contains("Maren");
    assertThat(browser.find(".have").isDisplayed()).isFalse();
    assertThat(browser.text("h1")).isEqualTo("Somebody has Holding 1");
    assertThat(browser.text("#who")).isEqualTo("You are Maren");

    farm.set(FakeFarm.falling("h1", 6.2, -0.13, new Band(4.0, 5.0, 6.0), 0.0), GAS_STOPPED);
    browser.until("it is open again", () -> browser.find(".have").isDisplayed());
    browser.find(".have").click();
    browser.until("no second question", () -> card("h1").contains("Maren has it."));
  }

  @Test
  void acknowledging_thatDoesNotGetThrough_isSaidAtTheAlarm() {
    farm.set(FakeFarm.falling("h1", 7.2, -0.13, new Band(24.0, 31.5, 40.0), 0.0), GAS_STOPPED);
    look();
    browser.driver().executeScript("localStorage.setItem('opercle-name', 'Maren');");
    browser.driver().navigate().refresh();
    browser.until("the button is there", () -> !browser.all(".have").isEmpty());

    browser.offline(true);
    browser.find(".have").click();

    browser.until(
        "it is said",
        () -> browser.text(".trouble").equals("Not noted. The server cannot be reached."));
    browser.offline(false);
    browser.driver().executeScript("localStorage.clear();");
    assertThat(farm.state("h1").alarms().get(0).acknowledgedBy()).isEmpty();
  }

  @Test
  void oldReading_isStale_evenWhileTheServerSpeaks() {
    look();
    assertThat(browser.all(".card[data-stale=true]")).isEmpty();

    farm.advance(Duration.ofMinutes(3));

    browser.until("all are stale", () -> browser.all(".card[data-stale=true]").size() == 5);
    assertThat(card("h1")).contains("stale", "oxygen last read 3 min ago");
    assertThat(browser.text("h1")).isEqualTo("Too little is known of 5 tanks");
  }

  @Test
  void lostServer_isSaid_andValuesAge() {
    look();

    server.close();

    browser.until(
        "the loss is said", () -> browser.text("#lost-words").startsWith("No connection."));
    browser.until("values age", () -> card("h1").matches("(?s).*newest reading [2-9] s ago.*"));
    assertThat(browser.find("body").getDomAttribute("data-lost")).isEqualTo("true");
    assertThat(browser.text("h1")).isEqualTo("Nothing is known now");
    assertThat(browser.driver().getTitle()).startsWith("No connection");
    assertThat(card("h1")).contains("Not known now").doesNotContain("No alarm");
  }

  @Test
  void serverThatComesBack_isFoundAgain() {
    look();
    int port = server.port();
    server.close();
    browser.until("the loss is said", () -> browser.find("#lost").isDisplayed());

    server =
        show(DashboardServer.start(DashboardSettings.onLoopback(port), farm, new FakeTraces()));

    browser.until("the notice goes", () -> !browser.find("#lost").isDisplayed());
  }

  @Test
  void pageThatWasCutOff_saysFromWhenToWhenItHeardNothing() {
    look();
    Object words =
        browser
            .driver()
            .executeAsyncScript(
                """
                const done = arguments[arguments.length - 1];
                import('/assets/state.js').then(({ heard, lost, missed, start }) => {
                  const event = (now) => ({ now, notTaken: 0, troubles: [], tanks: {} });
                  const told = (seconds, later) => {
                    const before = heard(start(), event('2026-03-14T02:00:00Z'), 0);
                    const after = heard(lost(before, 6000),
                      event(new Date(Date.UTC(2026, 2, 14, 2, 0, seconds)).toISOString()), seconds * 1000);
                    const gap = missed(after, seconds * 1000 + later);
                    return gap === undefined ? 'nothing' : new Date(gap.from).toISOString() + ' to '
                      + new Date(gap.to).toISOString();
                  };
                  done([told(8, 0), told(90, 0), told(90, 60_000), told(90, 121_000)].join('; '));
                });
                """);

    assertThat(words)
        .isEqualTo(
            "nothing; 2026-03-14T02:00:00.000Z to 2026-03-14T02:01:30.000Z;"
                + " 2026-03-14T02:00:00.000Z to 2026-03-14T02:01:30.000Z; nothing");
  }

  @Test
  void namesFromTheFarm_areOnlyText() {
    server.close();
    String nasty = "<script>document.title='owned'</script><img src=x onerror=alert(1)>";
    farm =
        new FakeFarm(
            List.of(FakeFarm.air("h1", nasty, 40.0, FakeFarm.load(Species.TENCH, 55.0, 70))));
    farm.set(
        FakeFarm.holding("h1", 9.1, 87.0, 12.4, 45.2, 64.0),
        new Alarm(
            "h1",
            AlarmCause.WATER_WARM,
            Priority.MEDIUM,
            AlarmState.ACKNOWLEDGED,
            FakeFarm.NIGHT,
            Optional.of("<b>Maren</b>"),
            nasty));
    server = serve(farm);

    look();

    assertThat(browser.text(".card h2")).isEqualTo(nasty);
    assertThat(browser.all("main img, main script, main b")).isEmpty();
    browser.phone();
    PageChecks.everythingFits(browser);
  }

  @ParameterizedTest
  @ValueSource(strings = {"light", "dark"})
  void phone_showsEverything_readably(String light) {
    server.close();
    farm = FakeFarm.troubled();
    server = serve(farm);
    browser.phone();
    browser.prefers(light);

    look();

    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    assertThat(browser.find("html").getDomAttribute("data-light"))
        .isEqualTo(light.equals("dark") ? "night" : "day");
  }

  @Test
  void desk_isAccessible_andTheDialogToo() {
    server.close();
    farm = FakeFarm.troubled();
    server = serve(farm);
    look();

    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    browser.find("#who").click();
    PageChecks.accessible(browser);
  }

  @Test
  void nightSwitch_isRemembered() {
    browser.prefers("light");
    look();

    browser.find("#night").click();
    browser.driver().navigate().refresh();

    assertThat(browser.find("html").getDomAttribute("data-light")).isEqualTo("night");
    browser.until("the switch offers day", () -> browser.text("#night").equals("Day"));
    browser.driver().executeScript("localStorage.clear();");
  }

  @Test
  void firstPage_asksOnlyItsOwnServer() {
    browser.requests();
    look();

    Set<String> asked = PageChecks.pathsAskedFor(browser, root());

    assertThat(asked).contains("/live");
    asked.remove("/live");
    assertThat(FirstPage.FILES).containsAll(asked);
  }
}
