// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.publish.TankAct;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Sound and speech in a real browser; {@link Recorder} notes what is really scheduled. */
class SoundPageTest {

  private final FakeFarm farm = FakeFarm.quiet();
  private final DashboardServer server =
      DashboardServer.start(DashboardSettings.onLoopback(0), farm, new FakeTraces());
  private Browser browser;

  @BeforeEach
  void open() {
    browser = Browser.open();
    browser.before(Recorder.SCRIPT);
  }

  @AfterEach
  void nothingWentWrong() {
    try {
      assertThat(browser.complaints()).filteredOn(c -> !c.contains("ERR_CONNECTION")).isEmpty();
    } finally {
      browser.close();
      server.close();
    }
  }

  @Test
  void page_saysThatItIsMute_untilATap() {
    look("/");

    assertThat(browser.text("#sound")).isEqualTo("No sound yet");
    assertThat(browser.text(".sound-bar"))
        .contains("Sound is off on this device: no alarm can be heard here.");

    browser.find(".sound-bar button").click();

    browser.until("sound is on", () -> browser.text("#sound").equals("Sound on"));
    assertThat(browser.find(".sound-bar").isDisplayed()).isFalse();
    assertThat(pulses()).isZero();
  }

  @Test
  void highAlarm_soundsTheThreePulsePattern_untilSomebodyHasIt() {
    look("/");
    tapToAllow();

    raise("t1", Priority.HIGH);

    browser.until("it sounds", () -> pulses() >= 6);
    assertThat(
            browser.run(
                """
                const p = noted.pulses;
                const near = (a, b) => Math.abs(a - b) < 0.001;
                return p.every((x) => x.wave === 'square' && x.hertz === 520 && near(x.off - x.on, 0.5))
                  && near(p[1].on - p[0].on, 1) && near(p[2].on - p[1].on, 1)
                  && near(p[3].on - p[0].on, 4) && near(p[4].on - p[3].on, 1);
                """))
        .isEqualTo(true);
    assertThat(browser.text(".sound-bar")).contains("a tank needs somebody now");

    farm.acknowledge("t1", AlarmCause.GAS_LINE_STOPPED, "Maren");

    browser.until("it stops", () -> !browser.find(".sound-bar").isDisplayed());
    assertThat(hushed()).isPositive();
    browser.run("noted.pulses.length = 0; return true;");
    browser.driver().executeScript("window.before = document.querySelector('#clock').textContent;");
    farm.advance(java.time.Duration.ofMinutes(1));
    browser.until("time goes on", () -> !browser.text("#clock").equals("02:11"));
    assertThat(pulses()).isZero();
  }

  @Test
  void pause_isForThisDevice_counted_andEndedByANewAlarm() {
    look("/");
    tapToAllow();
    raise("t1", Priority.HIGH);
    browser.until("it sounds", () -> pulses() > 0);

    browser.find(".sound-bar button").click();

    browser.until("it is paused", () -> browser.text("#sound").startsWith("Paused 1"));
    assertThat(hushed()).isPositive();
    assertThat(farm.state("t1").alarms().get(0).state()).isEqualTo(AlarmState.UNACKNOWLEDGED);

    raise("h1", Priority.HIGH);
    browser.until("it sounds again", () -> browser.text("#sound").equals("Sound on"));
  }

  @Test
  void silencedOnAnotherDevice_itSoundsOnHere_untilItIsSilencedHereToo() {
    look("/offline");
    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
    look("/tank/t1");
    tapToAllow();

    farm.set(
        FakeFarm.falling("t1", 7.2, -0.4, new Band(7.0, 9.9, 12.0), 0.0),
        silenced(alarm("t1", Priority.HIGH)));

    browser.until("it sounds", () -> pulses() > 0);
    assertThat(browser.text("#now .who")).contains("Sound off on another device until");

    browser.all("#now button").stream()
        .filter(b -> b.getText().equals("Sound off here for 2 min"))
        .findFirst()
        .orElseThrow()
        .click();

    browser.until("it is quiet", () -> !browser.find(".sound-bar").isDisplayed());
    assertThat(hushed()).isPositive();
    assertThat(farm.acts())
        .containsExactly(
            new TankAct.OnAlarm(
                "t1",
                AlarmCause.GAS_LINE_STOPPED,
                TankAct.OnAlarm.What.SILENCE,
                "Maren",
                Optional.empty()));
    browser.until("it is said", () -> browser.text("#now .who").contains("Sound off here until"));
  }

  @Test
  void soundSwitchedOffHere_isRemembered_andSaidWhenAnAlarmWouldSound() {
    look("/device");
    tapToAllow();
    browser.find("#sound-switch").click();
    browser.until("it is off", () -> browser.text("#sound").equals("Sound off"));

    look("/");
    raise("t1", Priority.HIGH);

    browser.until(
        "it is said",
        () -> browser.text(".sound-bar").contains("sound is switched off on this device"));
    assertThat(pulses()).isZero();

    browser.find(".sound-bar button").click();
    browser.until("it sounds", () -> pulses() > 0);
  }

  @Test
  void testSound_isHeardOnce_toItsEnd() {
    look("/device");

    browser.find("#hear").click();

    browser.until("three pulses are planned", () -> pulses() == 3);
    browser.until(
        "they are over and no more came",
        () ->
            Boolean.TRUE.equals(
                browser.run(
                    "return Date.now() > (window.t ??= Date.now()) + 3500 && noted.pulses.length === 3;")));
    assertThat(hushed()).isZero();
  }

  @Test
  void alarmBeforeATap_isShownLoudly() {
    raise("t1", Priority.HIGH);
    look("/");

    browser.until(
        "it is said",
        () -> browser.text(".sound-bar").contains("this browser keeps quiet until you tap"));
    PageChecks.accessible(browser);
    browser.phone();
    PageChecks.everythingFits(browser);
  }

  @Test
  void cab_speaksOncePerRepeat_andStopsWhenSomebodyHasIt() {
    browser.before(Recorder.WITH_A_VOICE);
    look("/cab");
    browser.until("tanks to choose", () -> browser.all("#choice input").size() == 5);
    assertThat(browser.all("#choice input:checked")).hasSize(1);
    browser.find("#start").click();
    browser.until("a test sentence", () -> spoken().contains("Trailer tank will be spoken"));

    raise("t1", Priority.HIGH);

    browser.until("it is spoken", () -> count() == 2);
    assertThat(spoken()).endsWith("Trailer tank, gas lost, about 9 minutes. Stop when safe.");
    assertThat(browser.text("#cab-words"))
        .isEqualTo("Trailer tank, gas lost, about 9 minutes. Stop when safe.");
    assertThat(browser.all("#driving button")).hasSize(1);
    assertThat(browser.all("#driving .have, #driving input, #driving a")).isEmpty();
    assertThat(PageChecks.red(browser)).isEqualTo(List.of("H1."));

    farm.set(
        FakeFarm.falling("t1", 6.8, -0.4, new Band(6.0, 8.4, 11.0), 0.0),
        alarm("t1", Priority.HIGH));
    browser.until("minutes are shown anew", () -> browser.text("#cab-words").contains("8 minutes"));
    assertThat(count()).isEqualTo(2); // but not spoken before their time

    farm.acknowledge("t1", AlarmCause.GAS_LINE_STOPPED, "Maren");
    browser.until("somebody has it", () -> browser.text("#cab-words").startsWith("Somebody has"));
    assertThat(count()).isEqualTo(2);
    assertThat(PageChecks.red(browser)).as("somebody has it").isEmpty();
  }

  /** A screen reader or a switch cannot hold a button down: it presses, and presses once more. */
  @Test
  void cab_isLeftByTwoPresses_whereNobodyCanHold() {
    look("/cab");
    browser.until("tanks to choose", () -> browser.all("#choice input").size() == 5);
    browser.find("#start").click();
    browser.until("driving", () -> browser.find("#end").isDisplayed());

    browser.run( // a finger that passes
        "const end = document.getElementById('end');"
            + "const how = { pointerType: 'touch', width: 24, height: 24, pressure: 0.5, bubbles: true };"
            + "end.dispatchEvent(new PointerEvent('pointerdown', how));"
            + "end.dispatchEvent(new PointerEvent('pointerup', how));"
            + "end.dispatchEvent(new MouseEvent('click', { detail: 1, bubbles: true })); return true;");
    assertThat(browser.text("#end")).isEqualTo("Standing still? Hold to end");
    browser.run("document.getElementById('end').click(); return true;");
    assertThat(browser.text("#end")).isEqualTo("Standing still? Press once more to end");
    assertThat(browser.find("#driving").isDisplayed()).isTrue();
    browser.run("document.getElementById('end').click(); return true;");

    assertThat(browser.find("#standing").isDisplayed()).isTrue();
    assertThat(browser.run("return document.activeElement.id;")).isEqualTo("start");
  }

  /** Whoever drives on trusts in being told: of a choice that is void they must know. */
  @Test
  void cab_whoseTanksAreNoLongerInTheFarm_saysSo_andListensToThoseForTheRoad() {
    browser.before(Recorder.WITH_A_VOICE);
    look("/offline");
    browser.run(
        "localStorage.setItem('opercle-cab-tanks', 'gone1 gone2');"
            + "localStorage.setItem('opercle-cab', 'driving'); return true;");
    look("/cab");

    browser.until(
        "it is said", () -> browser.text("#cab-gone-driving").contains("You are told of Trailer"));
    assertThat(browser.text("#cab-words")).doesNotContain("no tanks");
    browser.until("and spoken", () -> spoken().contains("not all in the farm any more"));
    PageChecks.accessible(browser);
    browser.phone();
    PageChecks.everythingFits(browser);
  }

  @Test
  void cab_thatHearsNothingOfTheTanks_saysSo_withoutTheColourOfAnAlarm() {
    look("/cab");
    browser.until("tanks to choose", () -> browser.all("#choice input").size() == 5);
    browser.find("#start").click();
    browser.until("driving", () -> browser.find("#end").isDisplayed());

    browser.run("const now = Date.now; Date.now = () => now() + 90000; return true;");

    browser.until("it is lost", () -> browser.text("#cab-words").contains("cannot be reached"));
    assertThat(browser.find("body").getDomAttribute("data-rank")).isEqualTo("lost");
    assertThat(PageChecks.red(browser)).isEmpty();
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
  }

  @Test
  void cab_isLeftByHolding_notByATouch() {
    look("/cab");
    browser.until("tanks to choose", () -> browser.all("#choice input").size() == 5);
    browser.find("#start").click();
    browser.until("driving", () -> browser.find("#end").isDisplayed());
    assertThat(browser.text("#cab-mute")).contains("No voice here");

    browser.find("#end").click();
    assertThat(browser.find("#driving").isDisplayed()).isTrue();

    browser.run(
        "document.querySelector('#end').dispatchEvent(new PointerEvent('pointerdown')); return true;");
    browser.until("left", () -> browser.find("#start").isDisplayed());
  }

  @ParameterizedTest
  @ValueSource(strings = {"light", "dark"})
  void pagesOfTheDevice_areReadable_everywhere(String light) {
    browser.prefers(light);
    for (boolean phone : new boolean[] {true, false}) {
      if (phone) {
        browser.phone();
      } else {
        browser.desk();
      }
      for (String page : new String[] {"/device", "/cab", "/offline"}) {
        look(page);
        PageChecks.everythingFits(browser);
        PageChecks.accessible(browser);
        keep(page.substring(1), light, phone);
      }
    }
    raise("t1", Priority.HIGH);
    browser.phone();
    look("/cab");
    browser.until("tanks to choose", () -> browser.all("#choice input").size() == 5);
    browser.find("#start").click();
    browser.until("the alarm", () -> browser.text("#cab-words").contains("gas lost"));
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    keep("driving", light, true);
    look("/");
    browser.until("cards", () -> !browser.all(".card .trace[d*=L]").isEmpty());
    PageChecks.everythingFits(browser);
    keep("yard", light, true);
    browser.desk();
    look("/cab");
    keep("driving", light, false);
  }

  private void keep(String name, String light, boolean phone) {
    String folder = System.getProperty("opercle.looks", "");
    if (!folder.isEmpty()) {
      try {
        java.nio.file.Files.write(
            java.nio.file.Path.of(
                folder, name + "-" + light + (phone ? "-phone" : "-desk") + ".png"),
            browser.picture());
      } catch (java.io.IOException e) {
        throw new java.io.UncheckedIOException(e);
      }
    }
  }

  private void tapToAllow() {
    browser.find(".sound-bar button").click();
    browser.until("sound is on", () -> browser.text("#sound").equals("Sound on"));
  }

  private void raise(String tank, Priority priority) {
    farm.set(
        FakeFarm.falling(tank, 7.2, -0.4, new Band(7.0, 9.9, 12.0), 0.0), alarm(tank, priority));
  }

  private static Alarm alarm(String tank, Priority priority) {
    return new Alarm(
        tank,
        AlarmCause.GAS_LINE_STOPPED,
        priority,
        AlarmState.UNACKNOWLEDGED,
        FakeFarm.NIGHT,
        Optional.empty(),
        "A tank: no gas flow for 8 s.");
  }

  /** By somebody, somewhere. */
  private static Alarm silenced(Alarm a) {
    return new Alarm(
        a.tank(),
        a.cause(),
        a.priority(),
        a.state(),
        a.since(),
        Optional.empty(),
        a.message(),
        a.annunciated(),
        Optional.of(FakeFarm.NIGHT.plusSeconds(120)),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        List.of(),
        OptionalDouble.empty());
  }

  private long pulses() {
    return (Long) browser.run("return noted.pulses.length;");
  }

  private long hushed() {
    return (Long) browser.run("return noted.hushed;");
  }

  private long count() {
    return (Long) browser.run("return noted.spoken.length;");
  }

  private String spoken() {
    return String.valueOf(browser.run("return noted.spoken.join(' / ') || ' ';"));
  }

  private void look(String path) {
    browser.go("http://127.0.0.1:" + server.port() + path);
    browser.until("the page is there", () -> !browser.all("h1").isEmpty());
  }
}
