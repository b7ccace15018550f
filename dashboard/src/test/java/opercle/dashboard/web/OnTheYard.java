// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.Optional;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;

/** For tests of the yard: a real browser, and a quiet farm that is served anew for each. */
abstract class OnTheYard extends InTheBrowser {

  static final Alarm GAS_STOPPED =
      new Alarm(
          "h1",
          AlarmCause.GAS_LINE_STOPPED,
          Priority.HIGH,
          AlarmState.UNACKNOWLEDGED,
          FakeFarm.NIGHT,
          Optional.empty(),
          "Holding 1: no gas flow for 8 s. About 31 min in hand. Check valve and blower.");

  FakeFarm farm = FakeFarm.quiet();
  DashboardServer server = serve(farm);

  void look() {
    go("/");
    browser.until(
        "cards and traces are drawn",
        () -> browser.all(".card .trace[d*=L]").size() == farm.farm().tanks().size());
  }

  static String card(String tank) {
    return browser.text(".card[data-key='" + tank + "']");
  }
}
