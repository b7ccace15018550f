// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.stock.Species;
import opercle.dashboard.access.Role;
import opercle.ingest.reading.Rejection;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Cookie;

/** Names that hold markup, as a browser draws them on every page that shows them. */
class StoredScriptTest {

  private static final String EVIL = "<img src=x onerror=document.body.dataset.taken=1>";

  @TempDir Path folder;

  @Test
  void name_isDrawnAsItIsWritten_andRunsNothing() throws Exception {
    FakeFarm farm =
        new FakeFarm(
            List.of(
                FakeFarm.air("h2", EVIL, 45.0, FakeFarm.load(Species.TENCH, 55.0, 70)),
                FakeFarm.air("h1", "Holding 1", 45.0, FakeFarm.load(Species.TENCH, 55.0, 70))));
    farm.set(
        FakeFarm.holding("h2", 9.1, 87.0, 12.4, 45.2, 64.0),
        new Alarm(
            "h2",
            AlarmCause.GAS_LINE_STOPPED,
            Priority.HIGH,
            AlarmState.ACKNOWLEDGED,
            FakeFarm.NIGHT.minusSeconds(95),
            Optional.of(EVIL),
            EVIL + " gas has stopped."));
    farm.set(FakeFarm.holding("h1", 9.1, 87.0, 12.4, 45.2, 64.0));
    farm.notTaken(
        new NotTaken(
            Map.of(Rejection.Reason.MALFORMED, 1L),
            List.of(
                new Rejection(
                    Rejection.Reason.MALFORMED, EVIL, EVIL + " is no number.", FakeFarm.NIGHT))));
    try (GuardedFarm guarded = GuardedFarm.in(folder, farm, TrustedProxies.NONE);
        Browser browser = Browser.open()) {
      String[] cookie = guarded.cookie(EVIL, Role.MANAGE).split("=", 2);
      guarded.access.addToken(EVIL, Role.LOOK, EVIL);
      browser.go(guarded.root() + "/offline");
      browser.driver().manage().addCookie(new Cookie(cookie[0], cookie[1]));
      write(guarded, cookie[0] + "=" + cookie[1]);
      for (String path :
          List.of(
              "/",
              "/tank/h2",
              "/evening",
              "/setup",
              "/users",
              "/trips",
              "/alarms",
              "/holding",
              "/records",
              "/not-taken",
              "/trips/strange")) {
        browser.go(guarded.root() + path);
        browser.until(
            path + " is drawn",
            () -> browser.all("body").get(0).getText().contains("Logged in as " + EVIL));
        browser.until(
            path + " shows the name", () -> browser.all("#page").get(0).getText().contains(EVIL));
        nothingRan(browser, path);
      }
      for (String path :
          List.of(
              "/records/register?year=2026",
              "/trips/strange/report",
              "/api/v1/trips/strange/picture.svg")) {
        browser.go(guarded.root() + path);
        nothingRan(browser, path);
      }
      assertThat(guarded.send("GET", guarded.link(), "").body())
          .contains("&lt;img")
          .doesNotContain("<img");
    }
  }

  private static void nothingRan(Browser browser, String path) {
    assertThat(browser.all("img[src=x]")).as(path).isEmpty();
    assertThat(browser.all("[data-taken]")).as(path).isEmpty();
  }

  /** Where strangers' words arrive: topics, payloads, records, trips. */
  private static void write(GuardedFarm guarded, String cookie) throws Exception {
    guarded.setUp.heard(EVIL, "{\"" + EVIL + "\":8.6}", 4);
    guarded.setUp.heard("yard/" + EVIL, EVIL, 4);
    String movement =
        """
        {'id':'move-strange','by':'%s','kind':'movement','fields':{'species':'%s','count':20,
         'from':'water-stew-2','to':'water-long','departs':'2026-03-12T08:00:00Z',
         'arrives':'2026-03-12T10:00:00Z','note':'%s'}}
        """;
    String trip =
        """
        {'id':'strange','time':'2026-03-14T02:00:00Z','by':'%s','tank':'h2','from':'%s','to':'%s'}
        """;
    for (String[] sent :
        new String[][] {{"/api/v1/records/entries", movement}, {"/api/v1/trips", trip}}) {
      String body = sent[1].formatted(EVIL, EVIL, EVIL).replace('\'', '"');
      assertThat(guarded.send("POST", sent[0], body, "Cookie", cookie))
          .satisfies(answer -> assertThat(answer.statusCode()).as(answer.body()).isEqualTo(201));
    }
  }
}
