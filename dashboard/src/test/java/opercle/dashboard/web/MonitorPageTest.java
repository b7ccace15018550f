// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The pages of how the monitor itself is and of what was not taken, in a real browser. */
class MonitorPageTest extends InTheBrowser {

  private static final long GB = 1_000_000_000L;

  private final FakeFarm farm = FakeFarm.troubled();

  @BeforeEach
  void start() {
    serve(farm);
  }

  @AfterEach
  void nothingWentWrong() {
    assertThat(browser.complaints()).isEmpty();
  }

  @Test
  void page_saysWhatComesIn_andWhatEachPartIsAt() {
    farm.monitor(
        new MonitorState(
            Optional.of(new MonitorState.Intake(70, 2100, 3, Duration.ofMillis(2500))),
            Optional.of(MonitorState.Part.of(Optional.empty())),
            Optional.of(MonitorState.Part.of(Optional.of("no space left on the disk"))),
            Optional.of(new MonitorState.Disk(2 * GB, 64 * GB)),
            Optional.empty()));
    browser.phone();

    look();

    assertThat(browser.text("h1")).isEqualTo("The monitor is well");
    assertThat(browser.text("#parts"))
        .contains("2100 since Opercle was started", "Looked at after", "3 s", "Left out")
        .contains("Could not be used", "15 messages of probes", "Hub that probes send to")
        .contains("Connected", "No space left on the disk", "2.0 of 64.0 GB");
    assertThat(browser.text("#heard")).contains("Holding 1", "just now", "Quarantine", "6 min");
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
  }

  @Test
  void answerThatHasGrownOld_isNoAnswer() {
    look();
    assertThat(browser.text("h1")).isEqualTo("The monitor is well");

    browser.run(
        "const ask = window.fetch;"
            + "window.fetch = (what, how) => String(what).includes('/api/v1/monitor')"
            + " ? Promise.reject(new Error('cut')) : ask(what, how);"
            + "const now = Date.now; Date.now = () => now() + 20000; return true;");

    browser.until("it is not called well", () -> browser.text("h1").startsWith("Not known"));
    assertThat(browser.find("main").getDomAttribute("data-stale")).isEqualTo("true");
    assertThat(PageChecks.isQuiet(browser, "#heard dd")).isTrue();
  }

  @Test
  void notTaken_whoseAnswerHasGrownOld_isNoAnswer_alsoWhereTheServerHangs() {
    browser.go(root() + "/not-taken");
    browser.until("the latest is there", () -> !browser.all("#latest li").isEmpty());
    assertThat(browser.text("h1")).isEqualTo("15 messages could not be used since the start");
    assertThat(browser.find("main").getDomAttribute("data-stale")).isEqualTo("false");
    assertThat(PageChecks.isQuiet(browser, "#counts dd")).isFalse();

    browser.run(
        "const ask = window.fetch;"
            + "window.fetch = (what, how) => String(what).includes('/api/v1/not-taken')"
            + " ? (window.asked = true, new Promise(() => {})) : ask(what, how); return true;");
    browser.until("it asks again", () -> browser.run("return window.asked === true;").equals(true));
    browser.run("const now = Date.now; Date.now = () => now() + 20000; return true;");

    browser.until("it says so", () -> browser.text("h1").startsWith("Not known: nothing new"));
    assertThat(browser.find("main").getDomAttribute("data-stale")).isEqualTo("true");
    assertThat(PageChecks.isQuiet(browser, "#counts dd")).isTrue();
    assertThat(PageChecks.isQuiet(browser, "#latest li")).isTrue();
    PageChecks.accessible(browser);
  }

  @Test
  void troubles_standWithWhatToDo_andLeadHereFromOtherPages() {
    farm.suffer("No readings arrive: the broker is gone.");
    browser.go(root() + "/");
    browser.until(
        "the trouble is said", () -> browser.text("#unwell").contains("the broker is gone"));

    browser.find("#unwell a").click();

    browser.until("the page is there", () -> browser.text("h1").startsWith("One thing is wrong"));
    assertThat(browser.text("#troubles")).contains("the broker is gone", "log says more");
    PageChecks.accessible(browser);
  }

  @Test
  void whoeverSeesToIt_saysSoHere_andEverybodyReadsWhoHasIt() {
    farm.called(new MonitorState.Called("disk-full", "The disk is full.", Optional.empty()));
    List<String> had = new ArrayList<>();
    try (DashboardServer called =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            farm,
            new FakeTraces(),
            PastAlarms.NONE,
            Optional.empty(),
            List.of(
                routes ->
                    routes.post(
                        "/api/v1/monitor/troubles/{id}/have",
                        ctx -> {
                          had.add(ctx.pathParam("id") + " " + ctx.body());
                          farm.called(
                              new MonitorState.Called(
                                  "disk-full", "The disk is full.", Optional.of("Maren")));
                          ctx.status(204);
                        })))) {
      browser.phone();
      browser.go("http://127.0.0.1:" + called.port() + "/monitor");
      browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
      browser.go("http://127.0.0.1:" + called.port() + "/monitor");
      browser.until(
          "somebody is called", () -> browser.text("#called").contains("People are called for it"));
      PageChecks.accessible(browser);

      browser.find("#called button").click();

      browser.until(
          "it is had", () -> browser.text("#called").startsWith("Maren has it: The disk is full."));
      assertThat(had).singleElement().asString().startsWith("disk-full").contains("Maren");
      assertThat(browser.all("#called button:not([hidden])")).isEmpty();
      browser.go("about:blank");
    }
  }

  private void look() {
    browser.go(root() + "/monitor");
    browser.until("what is heard is there", () -> !browser.all("#heard dd").isEmpty());
  }
}
