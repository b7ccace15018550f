// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.book.FarmBook;
import opercle.dashboard.access.AccessDesk;
import opercle.dashboard.access.Role;
import opercle.dashboard.access.SessionRules;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What docs/design-language.md promises of every page, at a desk and on a phone, by day and by
 * night: accessible (axe, with the rules of WCAG 2.2 AA), nothing cut off, nothing too small to
 * press, no complaint on the console, no request to anywhere else. {@link Pictures} of all of them
 * are kept.
 */
class EveryPageTest extends InTheBrowser {

  @TempDir private static Path folder;

  /** In it each page is read by somebody with units of their own. */
  private static final String OWN_UNITS = "desk-night";

  /** Sheets of paper, the link in a message, and pages without a figure that has other units. */
  private static final Set<String> UNITS_OF_ALL =
      Set.of("register", "trip-report", "have", "not-taken", "device", "plan-on-the-way");

  private static final Set<String> REFUSED = Set.of("missing", "refused", "not-for-you");

  private static FakeFarm farm;

  @BeforeAll
  static void open() throws IOException {
    KeptAlarms kept = closing(KeptAlarms.in(folder));
    FarmBook records = closing(FarmBook.open(folder.resolve("records.db")));
    String have =
        new PageFrame()
            .plain("have", "I have it", "have")
            .replace("{{heading}}", "Holding 2: Gas has stopped")
            .replace("{{minutes}}", "31 min in hand now")
            .replace("{{words}}", "Check valve, regulator, cylinder or blower.")
            .replace("{{form}}", "<button type=\"submit\" class=\"solid big\">I have it</button>")
            .replace("{{after}}", "Press the button, and go.");
    farm = FakeFarm.troubled();
    farm.called("Maren", "Tove");
    farm.zone(KeptAlarms.ZONE);
    farm.monitor(
        new MonitorState(
            Optional.of(new MonitorState.Intake(104_233, 311_870, 12, Duration.ofMillis(2_400))),
            Optional.of(MonitorState.Part.of(Optional.empty())),
            Optional.of(MonitorState.Part.of(Optional.of("the disk is full"))),
            Optional.of(new MonitorState.Disk(310_000_000L, 32_000_000_000L)),
            Optional.empty()));
    KeptSetUp setUp = closing(KeptSetUp.in(folder, farm.farm()));
    AccessDesk access =
        new AccessDesk(() -> Optional.of(records), SessionRules.USUAL, () -> FakeFarm.NIGHT);
    access.add("Maren", Role.MANAGE, GuardedFarm.PASSWORD);
    access.add("Tove", Role.KEEP, GuardedFarm.PASSWORD);
    access.addToken("The display at the gate", Role.LOOK, "Maren");
    show(
        DashboardServer.start(
            new DashboardSettings(
                DashboardSettings.LOOPBACK,
                0,
                Set.of(),
                new Entrance(access, TrustedProxies.NONE, Optional.empty())),
            farm,
            new FakeTraces(),
            kept.past(),
            Optional.empty(),
            List.of(
                routes -> routes.get("/have/{token}", ctx -> ctx.html(have)),
                setUp.api(),
                new TripRoutes(farm, new FakeTraces(), kept.past(), kept.trips()),
                new KeptRecords(records).api(),
                KeptHolding.in(records, farm, kept.past(), KeptAlarms.ZONE))));
    logIn("Maren");
    browser.go("about:blank");
    browser.requests(); // the browser's own first page
  }

  private static void logIn(String name) {
    go("/login");
    browser.until("the form is there", () -> !browser.all("#name").isEmpty());
    browser.all("#name").get(0).sendKeys(name);
    browser.all("#password").get(0).sendKeys(GuardedFarm.PASSWORD);
    browser.all("#log-in button").get(0).click();
    browser.until("the yard is drawn", () -> !browser.all(".logged-in strong").isEmpty());
  }

  @ParameterizedTest(name = "{0}")
  @CsvSource({
    "yard, /, .card .trace[d*=L]",
    "tank, /tank/h2, .surface canvas",
    "alarms, /alarms, '#past li'",
    "figures, /alarms/figures, '#rows tr'",
    "not-taken, /not-taken, '#latest li'",
    "device, /device, '#units select'",
    "cab, /cab, '#choice input'",
    "evening, /evening, '#tanks .checks li'",
    "plan, /plan?tank=t1, '#courses svg'",
    "plan-on-the-way, /plan?tank=t1, '#courses svg'",
    "holding, /holding?tank=h2, '#work li'",
    "records, /records, '#movements li'",
    "register, /records/register?year=2026, 'tbody tr'",
    "trips, /trips, '#list li'",
    "trip, /trips/seen, '#picture svg'",
    "trip-stop, /trips/under-way, '#picture svg'",
    "trip-report, /trips/seen/report, '.trip-picture'",
    "monitor, /monitor, '#parts dd'",
    "setup, /setup, '#unknown li'",
    "users, /users, '#tokens li'",
    "offline, /offline, '#again'",
    "missing, /nowhere, main a",
    "refused, /records/register?year=soon, main a",
    "have, /have/seen, .big"
  })
  void page_isForEverybody_inEveryForm(String name, String path, String sign) throws IOException {
    Pictures.inEveryForm(browser, form -> look(name, path, sign, name + "-" + form));
    browser.enlarged();
    PageChecks.focusIsSeen(browser);
  }

  /** What stands open only once somebody has pressed for it. */
  @ParameterizedTest(name = "{0}")
  @CsvSource({
    "hand-check, /tank/h2, '#hand-check summary', '#hand-check form'",
    "where-from-plan, /plan?tank=t1, '#answer .whence summary', '#answer .whence li'",
    "where-from-evening, /evening, '#tanks .whence summary', '#tanks .whence li'",
    "where-from, /trips/seen, '#report-parts .whence summary', '#report-parts .whence li'",
    "fish-in, /tank/h2, '#do-here [value=add]', '#set-up form'",
    "probe-here, /tank/h2, '#do-here [value=probe]', '#unknown li'"
  })
  void whatIsOpened_isForEverybody_inEveryForm(
      String name, String path, String opener, String opened) throws IOException {
    Pictures.inEveryForm(
        browser,
        form -> {
          go(path);
          browser.until(opener, () -> !browser.all(opener).isEmpty());
          browser.until("all else is drawn", () -> browser.text("main").length() > 400);
          browser.run(
              "const b = document.querySelector(\"%s\"); b.scrollIntoView(); b.click(); return true;"
                  .formatted(opener));
          browser.until(opened, () -> !browser.all(opened).isEmpty());
          browser.run(
              "document.querySelector(\"%s\").scrollIntoView({ block: 'center' }); return true;"
                  .formatted(opened));
          seen(name + "-" + form);
        });
  }

  @Test
  void wayIn_isForEverybody_inEveryForm() throws IOException {
    go("/offline"); // cookies are of the page one is on
    browser.driver().manage().deleteAllCookies();
    try {
      Pictures.inEveryForm(
          browser,
          form -> look("log-in", "/login?over&next=/evening", "#log-in", "log-in-" + form));
    } finally {
      browser.desk();
      logIn("Maren");
    }
  }

  @Test
  void pageForOthers_isForEverybody_inEveryForm() throws IOException {
    anew("Tove");
    try {
      Pictures.inEveryForm(
          browser, form -> look("not-for-you", "/users", "main a", "not-for-you-" + form));
    } finally {
      browser.desk();
      anew("Maren");
    }
  }

  private static void anew(String name) {
    go("/offline");
    browser.driver().manage().deleteAllCookies();
    logIn(name);
  }

  private void look(String name, String path, String sign, String picture) throws IOException {
    boolean inOwnUnits = picture.endsWith(OWN_UNITS);
    if (inOwnUnits) {
      PageChecks.chooseUnits(browser, "lb", "gal (UK)", "°F");
    }
    if (name.equals("monitor")) {
      farm.suffer("Readings are not being stored: the disk is full.");
      farm.called(
          new MonitorState.Called("store", "Readings are not being stored.", Optional.empty()),
          new MonitorState.Called(
              "broker",
              "No readings arrive: the hub that probes send to does not answer.",
              Optional.of("Tove")));
    }
    try {
      go(path);
      browser.until(name + " is drawn", () -> !browser.all(sign).isEmpty());
      if (name.equals("plan-on-the-way")) { // further down than a screen shows
        browser
            .driver()
            .executeScript(
                "document.querySelector(arguments[0]).scrollIntoView({ block: 'center' });", sign);
      }
      seen(picture);
      assertThat(browser.text("body")).as("the clock of the farm alone").doesNotContain("02:11");
      if (name.equals("yard")) {
        assertThat(browser.text("#clock")).contains("23:4");
      }
      if (inOwnUnits && !UNITS_OF_ALL.contains(name)) {
        assertThat(PageChecks.inOtherUnits(browser)).as("figures in other units").isEmpty();
      }
    } finally {
      PageChecks.forgetUnits(browser);
      farm.suffer();
      farm.called(new MonitorState.Called[0]);
    }
  }

  private void seen(String picture) throws IOException {
    if (picture.startsWith("where-from-")) { // one of a kind is enough for the documents
      Pictures.look(browser, picture);
    } else {
      Pictures.keep(browser, picture);
    }
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    assertThat(PageChecks.notKeepersWords(browser)).as("words of programs").isEmpty();
    PageChecks.pathsAskedFor(browser, root());
    assertThat(browser.complaints())
        .filteredOn(
            words ->
                REFUSED.stream().noneMatch(picture::startsWith)
                    || !words.contains("the server responded with a status of 4"))
        .isEmpty();
  }
}
