// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.Optional;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;

/** For tests of the yard: a real browser, and a quiet farm that is served anew for each. */
abstract class OnTheYard {

  static final Alarm GAS_STOPPED =
      new Alarm(
          "h1",
          AlarmCause.GAS_LINE_STOPPED,
          Priority.HIGH,
          AlarmState.UNACKNOWLEDGED,
          FakeFarm.NIGHT,
          Optional.empty(),
          "Holding 1: no gas flow for 8 s. About 31 min in hand. Check valve and blower.");

  static Browser browser;

  FakeFarm farm = FakeFarm.quiet();
  DashboardServer server = serve(farm);

  @BeforeAll
  static void open() {
    browser = Browser.open();
  }

  @AfterAll
  static void quit() {
    browser.close();
  }

  static DashboardServer serve(FakeFarm farm) {
    return DashboardServer.start(DashboardSettings.onLoopback(0), farm, new FakeTraces());
  }

  String root() {
    return "http://127.0.0.1:" + server.port();
  }

  void look() {
    browser.go(root() + "/");
    browser.until(
        "cards and traces are drawn",
        () -> browser.all(".card .trace[d*=L]").size() == farm.farm().tanks().size());
  }

  static String card(String tank) {
    return browser.text(".card[data-key='" + tank + "']");
  }
}
