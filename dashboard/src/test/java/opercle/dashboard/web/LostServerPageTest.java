// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import opercle.analysis.watch.TankState;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/**
 * A server that really goes, in a real browser: the page says so, sounds once it lasts, and is
 * quiet when the server is back. {@link Recorder} notes what is really scheduled.
 */
class LostServerPageTest {

  private Browser browser;
  private DashboardServer server;

  @BeforeEach
  void open() {
    browser = Browser.open();
    browser.before(Recorder.SCRIPT);
    server = serve(0, FakeFarm.quiet());
  }

  @AfterEach
  void close() {
    browser.close();
    server.close();
  }

  private static DashboardServer serve(int port, FakeFarm farm) {
    return DashboardServer.start(DashboardSettings.onLoopback(port), farm, new FakeTraces());
  }

  @Test
  void serverThatIsLost_isSaid_soundsAfterAMinute_andIsQuietWhenItIsBack() {
    browser.go("http://127.0.0.1:" + server.port() + "/");
    browser.until("tanks", () -> !browser.all(".card").isEmpty());
    browser.find(".sound-bar button").click();
    browser.until("sound is on", () -> browser.text("#sound").equals("Sound on"));
    browser.run(
        "window.ahead = 0; const now = Date.now; Date.now = () => now() + ahead; return 1;");
    int port = server.port();

    server.close();

    browser.until(
        "it is said",
        () ->
            browser
                .text("#lost-words")
                .equals("No connection. These figures are old: look at the tanks."));
    assertThat(browser.find("#lost").isDisplayed()).isTrue();
    browser.run("ahead = 30000; return 1;");
    browser.until("time goes on", () -> browser.text("#lost-since").matches(".* [34]\\d s ago\\."));
    assertThat(pulses()).as("a short loss wakes nobody").isZero();

    browser.run("ahead = 61000; return 1;");

    browser.until("it sounds", () -> pulses() >= 2);
    assertThat(
            browser.run(
                """
                const p = noted.pulses;
                const near = (a, b) => Math.abs(a - b) < 0.001;
                return p.every((x) => x.wave === 'square' && x.hertz === 520 && near(x.off - x.on, 1))
                  && near(p[1].on - p[0].on, 1.5);
                """))
        .as("the sound of a lost server")
        .isEqualTo(true);
    browser.until(
        "it is said why",
        () ->
            browser
                .text(".sound-bar")
                .contains("nothing new of the tanks for over a minute. Nothing is watched"));
    assertThat(hushed()).isZero();

    server = serve(port, newReadings());

    browser.until("it is back", () -> !browser.find("#lost").isDisplayed());
    browser.until("it is quiet", () -> !browser.find(".sound-bar").isDisplayed());
    assertThat(hushed()).as("what was to be heard yet").isPositive();
    assertThat(browser.text(".came-back")).contains("Nothing was heard here from");
    long before = pulses();
    browser.run("ahead += 5000; return 1;");
    browser.until("time goes on", () -> browser.run("return Date.now() - ahead > 0;").equals(true));
    assertThat(pulses()).isEqualTo(before);
  }

  /** The same farm a little later: a server that comes back without news is no watch. */
  private static FakeFarm newReadings() {
    FakeFarm farm = FakeFarm.quiet();
    TankState s = farm.state("h1");
    farm.set(
        new TankState(
            s.tank(),
            s.time().plusSeconds(70),
            Optional.of(s.time().plusSeconds(69)),
            s.oxygenMgPerL(),
            s.saturationPercent(),
            s.temperatureC(),
            s.gasFlowLPerMin(),
            s.slopeMgPerLPerMin(),
            s.demandMgPerKgPerHour(),
            s.timeInHand(),
            s.timeInHandIfGasStops(),
            List.of()));
    return farm;
  }

  private long pulses() {
    return (Long) browser.run("return noted.pulses.length;");
  }

  private long hushed() {
    return (Long) browser.run("return noted.hushed;");
  }
}
