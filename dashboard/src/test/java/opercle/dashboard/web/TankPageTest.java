// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.openqa.selenium.Keys;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.interactions.Actions;

/** A tank's own page, and the page of what was not taken, in a real browser. */
class TankPageTest extends InTheBrowser {

  private static final Traces BROKEN =
      new Traces() {
        @Override
        public List<Series> series(String tank) {
          throw new UncheckedIOException(new IOException("the disk is full"));
        }

        @Override
        public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
          return List.of();
        }

        @Override
        public List<Reading> readings(Series series, Instant from, Instant to) {
          return List.of();
        }
      };

  private final FakeFarm farm = FakeFarm.troubled();
  private final DashboardServer server = serve(farm);

  @AfterEach
  void nothingWentWrong() {
    assertThat(browser.complaints()).isEmpty();
  }

  @Test
  void page_saysLoadSupplyAndFloors_inWords() {
    look("h2");

    assertThat(browser.text("h1")).isEqualTo("Holding 2");
    assertThat(browser.text("#now")).contains("31 min", "24 to 40 min likely", "Act now");
    assertThat(browser.text("#facts"))
        .contains(
            "280 kg of common carp, 112 fish of about 2.5 kg",
            "Air from a blower through porous hose, set to 40 L/min at 15 °C.",
            "Act below 6.0 mg/L. Below 2.5 mg/L the fish are being harmed.");
  }

  @Test
  void oxygenSupply_carriesTheCaution() {
    look("t1");

    assertThat(browser.text("#facts"))
        .contains("20 L, 200 bar when full", "Oxygen feeds fire", "supplier’s data sheet");
  }

  @Test
  void figures_sayWhichReadingTheyAre_inTheFarmsOwnTime() {
    farm.zone(ZoneId.of("Pacific/Auckland"));
    look("h2");

    assertThat(browser.text("#facts"))
        .contains(
            "Oxygen: probe 1, read at 15:11:06.",
            "Time in hand: worked out at 15:11:07 from the oxygen of probe 1 at 15:11:06",
            "by the books for this load");
    new Actions(browser.driver()).moveToElement(browser.find(".values .oxygen")).perform();
    assertThat(browser.find(".values .oxygen").getDomAttribute("title"))
        .isEqualTo("Oxygen: probe 1, read at 15:11:06.");
    assertThat(browser.text(".values .oxygen .old")).isEqualTo("just now");

    farm.advance(Duration.ofSeconds(30));
    browser.until(
        "its age is told", () -> browser.text(".values .oxygen .old").matches("3\\d s ago"));
  }

  @Test
  void values_move_withoutAReload() {
    look("h2");

    farm.set(FakeFarm.holding("h2", 7.9, 80.0, 13.1, 44.0, 52.0));

    browser.until("oxygen moves", () -> browser.text("#now").contains("7.9 mg/L"));
  }

  @Test
  void otherTank_thatNeedsSomebody_isSaidHereToo() {
    look("h1");

    assertThat(browser.text("#elsewhere")).isEqualTo("Holding 2 needs you now");
    assertThat(browser.find("#elsewhere a").getDomAttribute("href")).isEqualTo("/tank/h2");
    assertThat(browser.driver().getTitle()).startsWith("Holding 2 needs you now");
    PageChecks.accessible(browser);

    look("h2");
    assertThat(browser.find("#elsewhere").isDisplayed()).isFalse();
  }

  @Test
  void tracesThatCannotBeRead_areSaidToBeOld() {
    server.close();
    try (var broken = DashboardServer.start(DashboardSettings.onLoopback(0), farm, BROKEN)) {
      browser.go("http://127.0.0.1:" + broken.port() + "/tank/h2");

      browser.until(
          "it is said",
          () -> browser.text("#trouble").startsWith("These traces are not the newest."));
      browser.go("about:blank"); // or it would miss the server, now or a moment later
    }
    assertThat(browser.complaints()).allMatch(c -> c.contains("500") || c.contains("ERR_"));
  }

  @Test
  void oxygenTrace_isDrawn_withItsExtremes() {
    look("h2");

    assertThat(browser.text(".readout")).matches("Lowest 8\\.\\d at \\d\\d:\\d\\d, highest 9.*");
    Object inked =
        browser
            .driver()
            .executeScript(
                "const c = document.querySelector('.surface canvas');"
                    + "return c.getContext('2d').getImageData(0, 0, c.width, c.height).data"
                    + ".some(v => v > 0);");
    assertThat(inked).isEqualTo(true);
  }

  @Test
  void trace_marksAlarms_andItsTableTellsThem(@TempDir Path folder) {
    server.close();
    String noting =
        browser.before(
            "const write = CanvasRenderingContext2D.prototype.fillText; window.shapes = 0;"
                + "CanvasRenderingContext2D.prototype.fillText = function (words, ...rest) {"
                + " window.shapes += words === '▲' ? 1 : 0; write.call(this, words, ...rest); };");
    try (var kept = KeptAlarms.in(folder);
        var booked =
            DashboardServer.start(
                DashboardSettings.onLoopback(0), farm, new FakeTraces(), kept.past())) {
      browser.go("http://127.0.0.1:" + booked.port() + "/tank/h2");
      browser.until("three traces are drawn", () -> browser.all(".surface canvas").size() == 3);
      browser.all("#spans button").get(3).click();
      browser.find("#table summary").click();

      browser.until(
          "the alarm of yesterday is told",
          () -> browser.text("#table .in-span").contains("Gas has stopped (Act now)"));
      assertThat(inkAtTheTop()).as("the mark is drawn").isPositive();
      assertThat(browser.run("return window.shapes;")).as("its shape too").isNotEqualTo(0L);
      PageChecks.accessible(browser);
      browser.go("about:blank");
    } finally {
      browser.noLonger(noting);
    }
  }

  /** How many points at the upper edge of the first trace are of the marks' colour. */
  private static int inkAtTheTop() {
    Object count =
        browser
            .driver()
            .executeScript(
                """
                const c = document.querySelector('.surface canvas');
                const o = document.querySelector('.u-over');
                const d = c.getContext('2d').getImageData(
                  o.offsetLeft, o.offsetTop + 2, o.offsetWidth, 1).data;
                let n = 0;
                for (let i = 3; i < d.length; i += 4) { n += d[i] > 200 ? 1 : 0; }
                return n;
                """);
    return Integer.parseInt(String.valueOf(count));
  }

  @Test
  void forecast_goesToTheCriticalFloor_andIsShownOnlyWhereMinutesAreKnown() {
    look("h2");
    Object words =
        browser
            .driver()
            .executeAsyncScript(
                """
                const done = arguments[arguments.length - 1];
                import('/assets/forecast.js').then(({ ahead, forecast }) => {
                  const tank = (hand, oxygenMgPerL) => ({ floors: { criticalMgPerL: 2.5 },
                    state: { timeInHand: hand, oxygenMgPerL, newestReading: '1970-01-01T00:00:10Z' } });
                  const minutes = { is: 'minutes', low: 1, likely: 2, high: 3 };
                  const f = forecast(tank(minutes, 8));
                  const day = { from: -86400, to: 20, following: true };
                  done([f.from, f.oxygenMgPerL, f.floor, f.soonest, f.likely, f.latest,
                    Math.round(ahead(day, f)), ahead({ ...day, following: false }, f), ahead(day, undefined),
                    forecast(tank({ is: 'holding' }, 8)), forecast(tank(minutes, undefined)),
                    forecast(tank(minutes, 2.4))].join(' '));
                });
                """);

    assertThat(words).isEqualTo("10 8 2.5 70 130 190 187 0 0   ");
  }

  @Test
  void span_canBeSaved_asFiles() {
    look("h2");

    List<String> files =
        browser.all("#save a").stream().map(a -> a.getDomAttribute("href")).toList();

    assertThat(files)
        .containsExactly(
            "/api/v1/tanks/h2/readings.csv?from=2026-03-13T02%3A11%3A07.000Z&to=2026-03-14T02%3A11%3A07.000Z",
            "/api/v1/tanks/h2/readings.senml?from=2026-03-13T02%3A11%3A07.000Z&to=2026-03-14T02%3A11%3A07.000Z");
  }

  @Test
  void keys_moveAndZoom_andZeroGoesBack() {
    look("h2");
    var surface = browser.find(".surface");
    assertThat(pressed()).isEqualTo("24 h");

    surface.sendKeys("+");
    assertThat(pressed()).isEmpty();
    surface.sendKeys(Keys.ARROW_LEFT);
    surface.sendKeys("0");

    assertThat(pressed()).isEqualTo("24 h");
  }

  @Test
  void mouse_dragged_looksCloser() {
    look("h2");

    new Actions(browser.driver())
        .moveToElement(browser.find(".u-over"), -100, 0)
        .clickAndHold()
        .moveByOffset(150, 0)
        .release()
        .perform();

    browser.until("the span is another", () -> pressed().isEmpty());
    new Actions(browser.driver()).doubleClick(browser.find(".u-over")).perform();
    browser.until("the usual span is back", () -> pressed().equals("24 h"));
  }

  @Test
  void fingers_spread_lookCloser_andOneFingerMoves() {
    browser.phone();
    look("h2");
    browser.driver().executeScript("document.querySelector('.surface').scrollIntoView();");

    browser.touch("touchStart", 150, 100, 200, 100);
    browser.touch("touchMove", 90, 100, 280, 100);
    browser.touch("touchEnd");
    browser.until("the span is shorter", () -> pressed().isEmpty());
    String closer = firstHour();
    browser.touch("touchStart", 150, 100);
    browser.touch("touchMove", 300, 100);
    browser.touch("touchEnd");

    browser.until("the span is earlier", () -> !firstHour().equals(closer));
  }

  @Test
  void table_tellsTheSame() {
    look("h2");

    browser.find("#table summary").click();

    browser.until("rows are there", () -> browser.all("#table tbody tr").size() == 24);
    assertThat(browser.text("#table thead"))
        .contains(
            "Oxygen, mg/L", "Oxygen, lowest", "Oxygen, highest", "Oxygen, saturated", "Water, °C")
        .contains("Water, lowest", "Gas, highest");
    assertThat(browser.text("#table")).contains("What was done in this time");
    PageChecks.accessible(browser);
  }

  @Test
  void temperatures_areTracedInTheUnitOfThisDevice() {
    look("h2");
    browser.run("localStorage.setItem('opercle-unit-temperature', '°F'); return true;");
    try {
      look("h2");
      browser.find("#table summary").click();
      browser.until("rows are there", () -> browser.all("#table tbody tr").size() == 24);

      assertThat(browser.text("#table thead")).contains("Water, °F");
      assertThat(
              browser.all("#table tbody td:nth-of-type(5)").stream()
                  .map(WebElement::getText)
                  .filter(text -> !"–".equals(text))
                  .map(Double::valueOf))
          .isNotEmpty()
          .allSatisfy(fahrenheit -> assertThat(fahrenheit).isBetween(50.0, 80.0));
    } finally {
      browser.run("localStorage.clear(); return true;");
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"light", "dark"})
  void phone_showsEverything_readably(String light) {
    browser.phone();
    browser.prefers(light);

    look("t1");

    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
  }

  @Test
  void page_asksOnlyItsOwnServer() {
    browser.requests();

    look("h2");

    assertThat(PageChecks.pathsAskedFor(browser, root())).contains("/live", "/charts/uPlot.esm.js");
  }

  @Test
  void notTaken_isListed_inWords() {
    browser.phone();
    browser.go(root() + "/not-taken");

    browser.until("the latest is there", () -> !browser.all(".latest li").isEmpty());

    assertThat(browser.text("main"))
        .contains(
            "15 messages could not be used",
            "A tank that this farm does not have",
            "85.0 °C is outside");
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
  }

  @Test
  void unknownTank_saysSo() {
    browser.go(root() + "/tank/h9");

    assertThat(browser.text("h1")).isEqualTo("There is nothing here");
    PageChecks.accessible(browser);
    assertThat(browser.complaints()).allMatch(c -> c.contains("404"));
  }

  private void look(String tank) {
    browser.go(root() + "/tank/" + tank);
    browser.until("three traces are drawn", () -> browser.all(".surface canvas").size() == 3);
  }

  /** Where the traces begin, as the table has it. */
  private static String firstHour() {
    browser.driver().executeScript("document.querySelector('#table').open = true;");
    browser.until("rows are there", () -> browser.all("#table tbody tr").size() == 24);
    return browser.text("#table tbody tr:last-child th");
  }

  private static String pressed() {
    return browser.text("#spans [aria-pressed=true]");
  }

  @Test
  void tableThatIsReadAnew_keepsTheFocusAndItsPlace() {
    String soon = browser.soon();
    try {
      look("h2");
      browser.find("#table summary").click();
      browser.until("rows are there", () -> browser.all("#table tbody tr").size() == 24);
      browser.run("document.querySelector('#table .wide').focus(); return true;");

      browser.untilAsked("/api/v1/tanks/h2/trace", 9);

      assertThat(browser.run("return document.activeElement.getAttribute('aria-label');"))
          .isEqualTo("Traces as a table");
    } finally {
      browser.noLonger(soon);
    }
  }

  /** One lost second must not leave the buttons dead. */
  @Test
  void formsThatCouldNotBeFetched_areFetchedAtTheNextPress() {
    look("h1");
    String probe = "#do-here [value=probe]";
    browser.offline(true);
    browser.find(probe).click();
    browser.until("it is said", () -> browser.text("#not-opened").contains("could not be fetched"));

    browser.offline(false);
    browser.until("the server is back", () -> !browser.find("#lost").isDisplayed());
    browser.find(probe).click();

    browser.until("it is fetched", () -> browser.find("#set-up").isDisplayed());
    browser.find("#set-up-close button").click();
    assertThat(browser.find("#set-up").isDisplayed()).isFalse();
    assertThat(browser.run("return document.activeElement.value;")).isEqualTo("probe");
    assertThat(browser.complaints()).isNotNull(); // of what was not reached
  }
}
