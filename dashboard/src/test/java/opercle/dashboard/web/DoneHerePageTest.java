// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.publish.TankAct;
import opercle.analysis.publish.TankAct.OnAlarm;
import opercle.analysis.watch.TankEvent;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.support.ui.Select;

/** Everything that a person can do on a tank's page, with a thumb, in a real browser. */
class DoneHerePageTest extends InTheBrowser {

  private final FakeFarm farm = FakeFarm.troubled();

  @BeforeEach
  void look() {
    serve(farm);
    browser.phone();
    go("/tank/h2");
    browser.driver().executeScript("localStorage.setItem('opercle-name', 'Maren');");
    browser.driver().navigate().refresh();
    browser.until("the tank is there", () -> browser.text("h1").equals("Holding 2"));
    browser.until("its alarm is there", () -> !browser.all("#now .have").isEmpty());
  }

  private void tap(String css) {
    WebElement element = browser.find(css);
    browser.driver().executeScript("arguments[0].scrollIntoView({ block: 'center' });", element);
    element.click();
  }

  private void tapWords(String within, String words) {
    WebElement button =
        browser.all(within + " button").stream()
            .filter(b -> b.isDisplayed() && b.getText().equals(words))
            .findFirst()
            .orElseThrow(() -> new AssertionError("no button says " + words));
    browser.driver().executeScript("arguments[0].scrollIntoView({ block: 'center' });", button);
    button.click();
  }

  private void untilDone(TankAct act) {
    browser.until("the farm is told: " + act, () -> farm.acts().contains(act));
  }

  private static OnAlarm onAlarm(OnAlarm.What what, Optional<Duration> length) {
    return new OnAlarm("h2", AlarmCause.GAS_LINE_STOPPED, what, "Maren", length);
  }

  @Test
  void alarm_isSilenced_putAside_andHad() {
    tapWords("#now", "Sound off here for 2 min");
    untilDone(onAlarm(OnAlarm.What.SILENCE, Optional.empty()));

    tapWords("#now", "Put aside");
    untilDone(onAlarm(OnAlarm.What.SHELVE, Optional.of(Duration.ofMinutes(10))));

    tapWords("#now", "I have it");
    untilDone(onAlarm(OnAlarm.What.ACKNOWLEDGE, Optional.empty()));
    assertThat(browser.complaints()).isEmpty();
  }

  @Test
  void whatWasDone_isNoted_inOneTap() {
    for (TankEvent.Kind kind : TankEvent.Kind.values()) {
      if (kind == TankEvent.Kind.CHECKED) {
        continue; // has a form of its own
      }
      tap("#done button[value=" + kind.id() + "]");
      untilDone(new TankAct.Note("h2", kind, "Maren"));
    }

    browser.until("it is said", () -> browser.text("#done [role=status]").contains("(Maren)"));
    assertThat(browser.complaints()).isEmpty();
  }

  @Test
  void outOfService_needsAReason_andSaysForHowLong() {
    tap("#done details:not(#hand-check) summary");
    tapWords("#done", "Take out of service");
    assertThat(farm.acts()).as("no reason, no act").isEmpty();

    new Select(browser.find("#out-what")).selectByVisibleText("Oxygen is low");
    new Select(browser.find("#out-hours")).selectByVisibleText("4 h");
    browser.find("#out-reason").sendKeys("New probe on its way");
    tapWords("#done", "Take out of service");

    untilDone(
        new TankAct.TakeOutOfService(
            "h2",
            Optional.of(AlarmCause.OXYGEN_LOW),
            "New probe on its way",
            "Maren",
            Duration.ofHours(4)));
    browser.until(
        "it is said",
        () -> browser.text("#done [role=status]").equals("Out of service: Oxygen is low (Maren)."));
    PageChecks.accessible(browser);
    assertThat(browser.complaints()).isEmpty();
  }

  @Test
  void refusal_isSaidInTheServersWords_andNothingElse() {
    farm.refuse(new RefusedActException("Nothing else watches this tank."));

    tap("#done button[value=fed]");

    browser.until(
        "it is said",
        () -> browser.text("#done .trouble").equals("Not noted. Nothing else watches this tank."));
    assertThat(browser.text("#done [role=status]")).isEmpty();
    assertThat(farm.acts()).isEqualTo(List.of());
  }
}
