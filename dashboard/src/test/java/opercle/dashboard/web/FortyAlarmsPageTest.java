// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Tank;
import opercle.analysis.publish.TankAct;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The worst night: forty alarms stand at once, and a person has to find their way. */
class FortyAlarmsPageTest extends InTheBrowser {

  private static final int TANKS = 30;
  private static final int ALARMS = 40;

  private FakeFarm farm;

  /** Thirty tanks that lack something, the worst spread among them; ten have two alarms. */
  @BeforeEach
  void serve() {
    List<Tank> tanks =
        IntStream.rangeClosed(1, TANKS)
            .mapToObj(
                n ->
                    FakeFarm.air(
                        "h" + n, "Holding " + n, 45.0, FakeFarm.load(Species.TENCH, 55.0, 70)))
            .toList();
    farm = new FakeFarm(tanks);
    for (int n = 1; n <= TANKS; n++) {
      String id = "h" + n;
      double minutes = 200.0 - 5.0 * n;
      var state =
          FakeFarm.falling(
              id, 8.0, -0.1, new Band(0.8 * minutes, minutes, 1.3 * minutes), n % 3 == 0 ? 0 : 40);
      Alarm first =
          switch (n % 3) {
            case 0 -> alarm(id, AlarmCause.GAS_LINE_STOPPED, Priority.HIGH);
            case 1 -> alarm(id, AlarmCause.CYLINDER_LOW, Priority.MEDIUM);
            default -> alarm(id, AlarmCause.PROBE_SUSPECT, Priority.LOW);
          };
      if (n % 3 == 0) {
        farm.set(state, alarm(id, AlarmCause.WASTE_HIGH, Priority.LOW), first);
      } else {
        farm.set(state, first);
      }
    }
    serve(farm);
  }

  private static Alarm alarm(String tank, AlarmCause cause, Priority priority) {
    return new Alarm(
        tank,
        cause,
        priority,
        AlarmState.UNACKNOWLEDGED,
        FakeFarm.NIGHT.minusSeconds(90),
        Optional.empty(),
        "Holding %s: something is wrong. Go and look.".formatted(tank.substring(1)));
  }

  @ParameterizedTest(name = "{0}, {1}")
  @CsvSource({"yard, desk", "yard, phone", "alarms, desk", "alarms, phone"})
  void noneIsHidden_theWorstComesFirst_andAnyCanBeTaken(String page, String form)
      throws IOException {
    if (form.equals("phone")) {
      browser.phone();
    }
    go("/offline");
    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
    go(page.equals("yard") ? "/" : "/alarms");
    browser.until("all are there", () -> browser.all(SHOWN).size() == ALARMS);
    assertThat(browser.run(RANKS))
        .isEqualTo("high".repeat(10) + "medium".repeat(10) + "low".repeat(10));
    assertThat(browser.text("#summary"))
        .isEqualTo(page.equals("yard") ? "10 tanks need you now" : "40 alarms stand");
    assertThat(browser.text(TANK)).as("the least in hand of them").contains("Holding 30");
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    Pictures.look(browser, "forty-%s-%s".formatted(page, form));

    // The last of the worst is as much in reach as the first, and nothing else moves under the
    // hand.
    String have = "button[aria-label='I have it: Gas has stopped, Holding 3']";
    double took =
        ((Number)
                browser.run(
                    """
                    const start = performance.now();
                    const button = document.querySelector("%s");
                    button.scrollIntoView({ block: 'center' });
                    await new Promise(requestAnimationFrame);
                    button.focus();
                    const { left, top, width, height } = button.getBoundingClientRect();
                    const hit = document.elementFromPoint(left + width / 2, top + height / 2);
                    if (hit !== button) throw new Error(`${hit?.outerHTML} lies over it`);
                    button.click();
                    return performance.now() - start;
                    """
                        .formatted(have)))
            .doubleValue();
    assertThat(took).as("ms until it is pressed").isLessThan(1000.0);
    browser.until(
        "it is taken",
        () ->
            farm.acts().stream()
                .anyMatch(
                    a ->
                        a instanceof TankAct.OnAlarm on
                            && on.tank().equals("h3")
                            && on.cause() == AlarmCause.GAS_LINE_STOPPED));
    browser.until("that is shown", () -> browser.text(TANKS_OF).contains("Maren"));
    assertThat(browser.all(SHOWN)).as("and still stands").hasSize(ALARMS);
    assertThat(browser.complaints())
        .filteredOn( // of these tanks nothing past is kept here
            words -> !words.contains("/api/v1/last-hour") && !words.contains("/api/v1/alarms?"))
        .isEmpty();
  }

  private static final String TANKS_OF = "#tanks, #standing";
  private static final String TANK = "#tanks > *:first-child, #standing > *:first-child";
  private static final String SHOWN = ".alarms > li";

  /**
   * The rank of each tank in the order in which they stand, by the cause that ranks first there.
   */
  private static final String RANKS =
      """
      const rank = { 'Gas has stopped': 'high', 'Cylinder is running low': 'medium', 'Do not trust a probe': 'low' };
      const shown = [...document.querySelectorAll('#tanks > *, #standing > *')];
      if (shown.some((tank) => tank.offsetHeight === 0)) return 'one is hidden';
      return shown.map((tank) => {
        const first = tank.querySelector('.alarms .cause').textContent;
        return Object.entries(rank).find(([words]) => first.includes(words))?.[1] ?? first;
      }).join('');
      """;
}
