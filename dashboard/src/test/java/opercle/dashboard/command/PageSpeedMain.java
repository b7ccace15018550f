// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.IntStream;
import opercle.analysis.Band;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.publish.TankAct;
import opercle.analysis.stock.Species;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import opercle.dashboard.web.Browser;
import opercle.dashboard.web.DashboardServer;
import opercle.dashboard.web.DashboardSettings;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.NotTaken;
import opercle.dashboard.web.PastAlarms;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.store.SqliteReadings;
import org.jspecify.annotations.Nullable;

/**
 * How quick the pages are in a real browser: the first paint of the yard with its processor slowed
 * to a quarter, how busy the yard keeps it with two hundred tanks that change once a second, and
 * how long a day of three traces at one reading a second takes to come and be drawn.
 *
 * <p>{@code java -cp <test class path of dashboard> opercle.dashboard.command.PageSpeedMain}
 */
public final class PageSpeedMain {

  private static final int TANKS = 200;
  private static final int ROUNDS = 7;
  private static final double SLOWED = 4.0;
  private static final Duration LOOKED_AT = Duration.ofSeconds(20);
  private static final List<Quantity> TRACES =
      List.of(Quantity.OXYGEN, Quantity.TEMPERATURE, Quantity.GAS_FLOW);

  private PageSpeedMain() {}

  /** Takes no arguments. */
  public static void main(String[] arguments) throws IOException {
    Path folder = Files.createTempDirectory("opercle-speed");
    try (SqliteReadings store = SqliteReadings.open(folder.resolve("readings.db"));
        Browser browser = Browser.open()) {
      fill(store, Instant.now());
      try (DashboardServer few = serve(new Yard(12), store);
          DashboardServer many = serve(new Yard(TANKS), store)) {
        firstPaint(browser, few.port());
        busy(browser, many.port());
        day(browser, few.port());
      }
    }
  }

  private static DashboardServer serve(LiveFarm farm, SqliteReadings store) {
    return DashboardServer.start(
        DashboardSettings.onLoopback(0), farm, new StoredTraces(store), PastAlarms.NONE);
  }

  private static void fill(SqliteReadings store, Instant end) {
    for (long second = -2 * 86_400L; second < 0; second += 3600) {
      for (Quantity quantity : TRACES) {
        List<Reading> batch = new ArrayList<>(3600);
        for (int i = 0; i < 3600; i++) {
          Instant time = Instant.ofEpochSecond(end.getEpochSecond() + second + i);
          double value = 8.0 + Math.sin((double) time.getEpochSecond());
          batch.add(new Reading("h1", quantity, "1", time, value));
        }
        store.accept(batch);
      }
    }
  }

  private static void firstPaint(Browser browser, int port) {
    slow(browser, SLOWED);
    browser.driver().executeCdpCommand("Network.enable", Map.of());
    browser.driver().executeCdpCommand("Network.setCacheDisabled", Map.of("cacheDisabled", true));
    double[] millis = new double[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
      browser.go("about:blank");
      browser.go("http://127.0.0.1:" + port + "/");
      browser.until("tanks on the yard", () -> browser.all("article").size() >= 12);
      millis[i] =
          number(
              browser.run(
                  "return performance.getEntriesByName('first-contentful-paint')[0].startTime;"));
    }
    slow(browser, 1.0);
    Arrays.sort(millis);
    say(
        "first contentful paint of the yard, 12 tanks, cache empty, processor slowed 4 times:"
            + " median %.0f ms, most %.0f ms",
        millis[ROUNDS / 2], millis[ROUNDS - 1]);
  }

  private static void busy(Browser browser, int port) {
    browser.go("http://127.0.0.1:" + port + "/");
    browser.until("tanks on the yard", () -> browser.all("article").size() >= TANKS);
    browser.driver().executeCdpCommand("Performance.enable", Map.of());
    double before = tasks(browser);
    Object slept =
        browser.run(
            "await new Promise(r => setTimeout(r, %d)); return 1;".formatted(LOOKED_AT.toMillis()));
    double share = (tasks(browser) - before) / LOOKED_AT.toSeconds();
    say(
        "main thread of the yard, %d tanks that change once a second: %.0f %% busy%s",
        TANKS, 100.0 * share, slept == null ? "?" : "");
    browser.go("about:blank");
  }

  private static void day(Browser browser, int port) {
    double[] millis = new double[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
      browser.go("http://127.0.0.1:" + port + "/tank/h1");
      browser.until("charts", () -> browser.all("canvas").size() >= TRACES.size());
      millis[i] =
          number(
              browser.run(
                  """
                  const button = [...document.querySelectorAll('#spans button')]
                      .find((b) => b.textContent.includes('24'));
                  const come = () => performance.getEntriesByType('resource')
                      .filter((e) => e.name.includes('/trace?') && e.responseEnd > 0).length;
                  const before = come();
                  const frame = () => new Promise(requestAnimationFrame);
                  const start = performance.now();
                  button.click();
                  while (come() < before + 3) await frame();
                  await frame();
                  await frame();
                  return performance.now() - start;
                  """));
    }
    Arrays.sort(millis);
    say(
        "24 h of three traces at one reading a second, asked for, served and drawn: median %.0f ms,"
            + " most %.0f ms",
        millis[ROUNDS / 2], millis[ROUNDS - 1]);
  }

  private static void slow(Browser browser, double factor) {
    browser.driver().executeCdpCommand("Emulation.setCPUThrottlingRate", Map.of("rate", factor));
  }

  /** Seconds that the main thread has spent in tasks so far. */
  private static double tasks(Browser browser) {
    Map<String, Object> told =
        browser.driver().executeCdpCommand("Performance.getMetrics", Map.of());
    if (told.get("metrics") instanceof List<?> metrics) {
      for (Object metric : metrics) {
        if (metric instanceof Map<?, ?> named && "TaskDuration".equals(named.get("name"))) {
          return number(named.get("value"));
        }
      }
    }
    throw new IllegalStateException("the browser tells no TaskDuration");
  }

  private static double number(@Nullable Object value) {
    if (value instanceof Number n) {
      return n.doubleValue();
    }
    throw new IllegalStateException(String.valueOf(value));
  }

  private static void say(String format, Object... values) {
    System.out.println(String.format(Locale.ROOT, format, values));
  }

  /** So many tanks, whose oxygen changes every second. */
  private static final class Yard implements LiveFarm {

    private final List<Tank> tanks;

    Yard(int count) {
      tanks = IntStream.rangeClosed(1, count).mapToObj(Yard::tank).toList();
    }

    private static Tank tank(int number) {
      return new Tank(
          "h" + number,
          "Holding " + number,
          Tank.Kind.HOLDING,
          1500.0,
          0.8,
          new Tank.Supply(
              Tank.Gas.AIR, Tank.Source.BLOWER, Tank.Diffuser.POROUS_HOSE, 45.0, Optional.empty()),
          List.of(
              new Tank.Load(Species.TENCH, 55.0, OptionalInt.of(70), Optional.of(Instant.EPOCH))),
          Optional.empty());
    }

    @Override
    public Farm farm() {
      return new Farm("Sallowmere", 40.0, tanks);
    }

    @Override
    public Instant now() {
      return Instant.now();
    }

    @Override
    public List<TankState> states() {
      Instant now = now();
      return tanks.stream().map(tank -> state(tank.id(), now)).toList();
    }

    private static TankState state(String tank, Instant now) {
      double wave = Math.sin((double) (now.getEpochSecond() + tank.hashCode()));
      double minutes = 60.0 + 20.0 * wave;
      return new TankState(
          tank,
          now,
          Optional.of(now),
          OptionalDouble.of(9.0 + wave),
          OptionalDouble.of(88.0 + 5.0 * wave),
          OptionalDouble.of(12.0 + 0.2 * wave),
          OptionalDouble.of(45.0 + wave),
          OptionalDouble.of(0.01 * wave),
          OptionalDouble.of(58.0),
          new TimeInHand.Holding(),
          new TimeInHand.Minutes(new Band(0.75 * minutes, minutes, 1.3 * minutes)),
          List.of());
    }

    @Override
    public void perform(TankAct act) {}

    @Override
    public NotTaken notTaken() {
      return NotTaken.NOTHING;
    }

    @Override
    public List<String> troubles() {
      return List.of();
    }
  }
}
