// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.CompletableFuture;
import java.util.function.BooleanSupplier;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.book.AlarmRecords;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.evening.Reach;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.FarmWriter;
import opercle.analysis.publish.WatchService;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.HeardProbes;
import opercle.analysis.setup.ProbeDesk;
import opercle.dashboard.monitor.SelfWatch;
import opercle.dashboard.web.Browser;
import opercle.dashboard.web.DashboardServer;
import opercle.dashboard.web.DashboardSettings;
import opercle.dashboard.web.PageChecks;
import opercle.dashboard.web.SetUpApi;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.payload.Rejections;
import opercle.ingest.store.SqliteReadings;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.Keys;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.support.ui.Select;

/**
 * From a probe that nobody knows to an alarm that has cleared: the parts of {@code serve} with a
 * real broker, probes that are plain MQTT clients, and a keeper with a browser who never loads a
 * page anew: at a desk and on a phone, by day and by night. The tanks' time is the messages' own.
 */
class WholeStoryTest {

  private static final Duration PATIENCE = Duration.ofSeconds(60);

  @TempDir Path folder;
  private final RunningParts parts = new RunningParts();
  private volatile Instant now = Instant.now().truncatedTo(ChronoUnit.SECONDS);
  private static Browser browser;

  private MqttLink probe;
  private SensorSubscriber subscriber;
  private WatchService watch;
  private FarmBook book;
  private FarmDesk desk;
  private String root;

  @BeforeAll
  static void open() {
    browser = Browser.open();
  }

  @AfterAll
  static void quit() {
    browser.close();
  }

  @BeforeEach
  void serve() {
    InstantSource clock = () -> now;
    Services services =
        new Services(
            parts,
            FarmReader.parse(
                "farm.yaml",
                """
                farm: Sallowmere
                tanks:
                  - id: h1
                    name: Holding 1
                    kind: holding
                    waterLitres: 1500
                    supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
                """),
            clock);
    EmbeddedBroker broker = services.broker(folder, 0);
    MqttSettings mqtt = Sessions.settings(broker);
    SqliteReadings store = services.store(folder);
    book = services.book(BookPlace.in(folder));
    desk = services.desk(book, "farm.yaml");
    watch = services.watch(mqtt, folder, Optional.of(store), book);
    HeardProbes heard = new HeardProbes();
    subscriber =
        services.subscriber(
            Sessions.named(mqtt, "serve"),
            List.of(),
            new Rejections(),
            Optional.of(store),
            List.of(watch, heard));
    ProbeDesk probes = services.probes(mqtt, book, desk, subscriber);
    SelfWatch selfWatch = parts.add(SelfWatch.start(clock, List.of(), List.of()));
    LocalFarm live =
        new LocalFarm(
            clock,
            watch,
            subscriber,
            selfWatch,
            () -> Reach.NOBODY,
            List::of,
            PeopleCalled.morning(Optional.empty()),
            folder,
            Optional::empty);
    Kept kept = Kept.in(book, "Sallowmere", Optional.empty());
    StoredTraces traces = new StoredTraces(store);
    DashboardServer pages =
        services.dashboard(
            DashboardSettings.onLoopback(0),
            live,
            traces,
            kept,
            Optional.empty(),
            Optional.empty(),
            List.of(
                new SetUpApi(desk, Optional.of(probes), heard, clock::instant, false),
                FarmHolding.in(
                    book, watch, live, kept, traces, ZoneId.of("Europe/London"), clock)));
    root = "http://127.0.0.1:" + pages.port();
    probe = parts.add(MqttLink.open(Sessions.named(mqtt, "a-probe")));
    await().atMost(PATIENCE).until(() -> subscriber.linkState().connected());
    browser.requests(); // those of the form before
  }

  @AfterEach
  void end() {
    browser.go("about:blank");
    browser.complaints(); // of a page that is left while the test has failed
    parts.close();
  }

  // ---- the probes

  private CompletableFuture<Void> publish(String topic, String payload) {
    return probe.offer(topic, payload.getBytes(StandardCharsets.UTF_8), 1, false);
  }

  /** A value with its time, as SenML. */
  private CompletableFuture<Void> reading(String quantity, String unit, double value) {
    return publish(
        "tanks/h1/" + quantity,
        String.format(
            Locale.ROOT,
            "[{\"t\":%d,\"u\":\"%s\",\"v\":%.3f}]",
            now.getEpochSecond(),
            unit,
            value));
  }

  /** So many seconds of the tank's life, a reading of each kind every five. */
  private void live(int seconds, double litresPerMinute, double from, double perMinute) {
    for (int s = 0; s < seconds; s += 5) {
      now = now.plusSeconds(5);
      long before = subscriber.readings();
      CompletableFuture.allOf(
              reading("gas-flow", "L/min", litresPerMinute),
              reading("oxygen", "mg/l", from + perMinute * s / 60.0),
              publish("shed/rig", "{\"water\":12.4}"))
          .join();
      await()
          .atMost(PATIENCE)
          .pollInterval(Duration.ofMillis(2))
          .until(() -> subscriber.readings() >= before + 3);
    }
  }

  // ---- the keeper

  private void press(String css) {
    browser.until("there is " + css, () -> !browser.all(css).isEmpty());
    WebElement element = browser.find(css);
    browser.driver().executeScript("arguments[0].scrollIntoView({ block: 'center' });", element);
    element.click();
  }

  /**
   * What a person does about the gas that stopped. At the pace of a test an alarm of a silent probe
   * may stand beside it: the watch's second is one of the clock on the wall.
   */
  private void aboutTheGas(String words) {
    String button = "#now button[aria-label='" + words + ": Gas has stopped, Holding 1']";
    browser.until(words, () -> browser.all(button).stream().anyMatch(WebElement::isDisplayed));
    press(button);
  }

  private void untilShown(String css, String words) {
    browser.until(css + " shows " + words, () -> browser.text(css).contains(words));
  }

  /** The probe that nobody knows goes on sending until something has come of it. */
  private void untilHeard(BooleanSupplier holds) {
    await()
        .atMost(PATIENCE)
        .until(
            () -> {
              publish("shed/rig", "{\"water\":12.4}").join();
              return holds.getAsBoolean();
            });
  }

  private static Farm deeper(Farm farm) {
    return FarmReader.parse(
        "farm.yaml", FarmWriter.write(farm).replace("depthM: 0.8", "depthM: 0.9"));
  }

  private boolean standsAs(AlarmState state) {
    return watch.states().get(0).alarms().stream()
        .anyMatch(a -> a.cause() == AlarmCause.GAS_LINE_STOPPED && a.state() == state);
  }

  /** What must hold of the page at every step, whatever it shows. */
  private void isForEverybody() {
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    assertThat(browser.complaints()).isEmpty();
  }

  @ParameterizedTest(name = "{0}, {1}")
  @CsvSource({"desk, light", "desk, dark", "phone, light", "phone, dark"})
  void story_fromAnUnknownProbe_toAnAlarmThatHasCleared(String form, String light) {
    if (form.equals("desk")) {
      browser.desk();
    } else {
      browser.phone();
    }
    browser.prefers(light);
    browser.go(root + "/tank/h1");
    untilShown("h1", "Holding 1");
    browser.driver().executeScript("window.neverLoadedAnew = true;");

    // A probe that nobody knows is assigned to the tank in two taps, and feeds it from then on.
    press("#do-here button[value=probe]");
    untilHeard(() -> browser.text("#unknown").contains("shed/rig"));
    isForEverybody();
    press("#unknown button[value=h1]");
    press("#unknown button[value=temperature]");
    browser.until("it asks who that is", () -> !browser.all("dialog #name").isEmpty());
    browser.find("dialog #name").sendKeys("Maren" + Keys.ENTER);
    untilShown("#set-up .said", "shed/rig feeds Holding 1 now");
    untilHeard(() -> browser.text("#now").contains("12.4 °C"));
    isForEverybody();

    // The tank is stocked.
    press("#do-here button[value=add]");
    browser.until("the form", () -> !browser.all("#add-h1-kg").isEmpty());
    browser.find("#add-h1-species").sendKeys("Tench");
    browser.find("#add-h1-kg").sendKeys("55");
    browser.find("#add-h1-count").sendKeys("70" + Keys.ENTER);
    untilShown("#facts", "55 kg of tench");
    assertThat(watch.farm().tank("h1").orElseThrow().loadKg()).isEqualTo(55.0);
    isForEverybody();

    // Somebody else changes the tank elsewhere, and this page shows it.
    desk.change(OptionalLong.empty(), "Tove", WholeStoryTest::deeper);
    untilShown("#facts", "0.9 m over the diffuser");
    live(600, 45.0, 9.0, 0.0);
    untilShown("#now", "9.0 mg/L");
    isForEverybody();
    live(60, 0.0, 9.0, -0.12);
    untilShown("#now", "Gas has stopped");
    assertThat(standsAs(AlarmState.UNACKNOWLEDGED)).isTrue();
    isForEverybody();

    // Somebody has it, and says what they did there.
    aboutTheGas("I have it");
    await().atMost(PATIENCE).until(() -> standsAs(AlarmState.ACKNOWLEDGED));
    untilShown("#now", "Maren");
    isForEverybody();
    press("#hand-check summary");
    new Select(browser.find("#hand-fish")).selectByVisibleText("Restless");
    browser.find("#hand-oxygen").sendKeys("8,7");
    press("#hand-check button[type=submit]");
    untilShown("#done [role=status]", "Noted: checked by hand (Maren).");
    untilShown("#hand-made", "fish restless, oxygen 8.7 mg/L");
    isForEverybody();

    // The gas is back; the alarm clears once it has stayed, and is done with once they have looked.
    live(300, 45.0, 8.9, 0.02);
    await().atMost(PATIENCE).until(() -> standsAs(AlarmState.LATCHED_ACKNOWLEDGED));
    isForEverybody();
    aboutTheGas("I have looked: done");
    await()
        .atMost(PATIENCE)
        .until(
            () ->
                watch.states().get(0).alarms().stream()
                    .noneMatch(a -> a.cause() == AlarmCause.GAS_LINE_STOPPED));
    browser.until("it is gone", () -> !browser.text("#now").contains("Gas has stopped"));

    assertThat(browser.driver().executeScript("return window.neverLoadedAnew;")).isEqualTo(true);
    isForEverybody();
    assertThat(browser.find("html").getDomAttribute("data-light"))
        .isEqualTo(light.equals("dark") ? "night" : "day");
    assertThat(PageChecks.pathsAskedFor(browser, root))
        .contains("/tank/h1", "/live")
        .doesNotContain("/setup");
    await()
        .atMost(PATIENCE)
        .untilAsserted(
            () ->
                assertThat(
                        new AlarmRecords(book, "Sallowmere")
                            .between(now.minusSeconds(3600), now.plusSeconds(1)))
                    .filteredOn(e -> e.cause() == AlarmCause.GAS_LINE_STOPPED)
                    .extracting(e -> e.event().id())
                    .contains("raised", "acknowledged", "cleared", "reset"));
    assertThat(desk.history(2)).extracting(FarmVersion::by).containsExactly("Tove", "Maren");
  }
}
