// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentLinkedDeque;
import java.util.function.BooleanSupplier;
import java.util.logging.Level;
import java.util.logging.Logger;
import java.util.stream.Stream;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Assumptions;
import org.openqa.selenium.By;
import org.openqa.selenium.ElementClickInterceptedException;
import org.openqa.selenium.OutputType;
import org.openqa.selenium.StaleElementReferenceException;
import org.openqa.selenium.WebDriverException;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.WindowType;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;
import org.openqa.selenium.logging.LogType;
import org.openqa.selenium.logging.LoggingPreferences;

/**
 * A real browser without a window, for tests of pages. Where none is installed the test is skipped,
 * unless {@code OPERCLE_REQUIRE_SERVICES=1}: then it fails. One that was closed is given to the
 * next test that opens one, with nothing left in it of what it was used for. For one thread.
 */
public final class Browser implements AutoCloseable {

  private static final Duration PATIENCE = Duration.ofSeconds(20);

  /** So often what is to be pressed may move just then. */
  private static final int MOST_MISSES = 20;

  /** Selenium looks for a matching version of a protocol that we only use three calls of. */
  private static final Logger QUIETED = Logger.getLogger("org.openqa.selenium");

  /** Started and not in use: starting one takes longer than most tests. */
  private static final Deque<Browser> AT_REST = new ConcurrentLinkedDeque<>();

  static {
    QUIETED.setLevel(Level.SEVERE);
    Runtime.getRuntime()
        .addShutdownHook(new Thread(() -> AT_REST.forEach(Browser::quit), "browsers-quit"));
  }

  private final ChromeDriver driver;
  private final Path profile;
  private final Set<String> visited = new HashSet<>();

  private Browser(ChromeDriver driver, Path profile) {
    this.driver = driver;
    this.profile = profile;
  }

  /** Opens one, as large as a desk's screen. */
  public static Browser open() {
    Browser rested = AT_REST.poll();
    return rested == null ? start() : rested;
  }

  /** Starts one that nobody has used, whatever is at rest. */
  static Browser start() {
    Optional<Path> browser = onPath("chromium", "chromium-browser", "google-chrome");
    Optional<Path> helper = onPath("chromedriver");
    if (browser.isEmpty() || helper.isEmpty()) {
      String why = "chromium and chromedriver are not installed, so no page can be looked at";
      if ("1".equals(System.getenv("OPERCLE_REQUIRE_SERVICES"))) {
        Assertions.fail(why);
      }
      Assumptions.abort(why);
    }
    Path profile = freshFolder();
    var options = new ChromeOptions();
    options.setBinary(browser.orElseThrow().toString());
    options.addArguments(
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--disable-dev-shm-usage",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--hide-scrollbars",
        "--user-data-dir=" + profile);
    var logs = new LoggingPreferences();
    logs.enable(LogType.BROWSER, Level.ALL);
    logs.enable(LogType.PERFORMANCE, Level.ALL);
    options.setCapability("goog:loggingPrefs", logs);
    var service =
        new ChromeDriverService.Builder()
            .usingDriverExecutable(helper.orElseThrow().toFile())
            .withEnvironment(Map.of("TZ", "UTC", "SE_AVOID_STATS", "true"))
            .withSilent(true)
            .build();
    var started = new Browser(new ChromeDriver(service, options), profile);
    started.desk();
    return started;
  }

  /** A window of 1440×900. */
  public void desk() {
    size(1440, 900, false);
  }

  /** A phone of 390×844, with touch. */
  public void phone() {
    size(390, 844, true);
  }

  /** A window of 1280×1024 of which everything is enlarged four times. */
  void enlarged() {
    size(320, 256, false);
  }

  private void size(int width, int height, boolean mobile) {
    driver.executeCdpCommand(
        "Emulation.setDeviceMetricsOverride",
        Map.of("width", width, "height", height, "deviceScaleFactor", 1, "mobile", mobile));
  }

  /** What the device says of its light; holds until said otherwise. */
  public void prefers(String light) {
    driver.executeCdpCommand(
        "Emulation.setEmulatedMedia",
        Map.of(
            "features",
            List.of(
                Map.of("name", "prefers-color-scheme", "value", light),
                Map.of("name", "prefers-reduced-motion", "value", "reduce"))));
  }

  public void go(String url) {
    if (url.startsWith("http")) {
      visited.add(url.replaceFirst("(?<=[^/:])/.*", ""));
    }
    driver.get(url);
  }

  public ChromeDriver driver() {
    return driver;
  }

  public WebElement find(String css) {
    return driver.findElement(By.cssSelector(css));
  }

  public List<WebElement> all(String css) {
    return driver.findElements(By.cssSelector(css));
  }

  /** The text of the first match, as it is shown; empty while there is none. */
  public String text(String css) {
    Object text =
        driver.executeScript(
            "const n = document.querySelector(arguments[0]); return n ? n.innerText : '';", css);
    return String.valueOf(text);
  }

  /**
   * Presses what a person would, wherever it is on the page. What is drawn anew or moves between
   * the look and the press was not pressed: the finger goes after it.
   */
  void press(String css) {
    for (int misses = 0; ; misses++) {
      try {
        WebElement element = find(css);
        driver.executeScript("arguments[0].scrollIntoView({ block: 'center' });", element);
        element.click();
        return;
      } catch (StaleElementReferenceException | ElementClickInterceptedException e) {
        if (misses == MOST_MISSES) {
          throw e;
        }
      }
    }
  }

  /** Types words in the place of those that stand in a field. */
  void type(String css, String words) {
    WebElement field = find(css);
    field.clear();
    field.sendKeys(words);
  }

  /** Waits until something holds, and says what was waited for if it never does. */
  public void until(String what, BooleanSupplier holds) {
    Awaitility.await(what)
        .atMost(PATIENCE)
        .pollDelay(Duration.ofMillis(100)) // what a page draws at one go is not there all at once
        .pollInterval(Duration.ofMillis(25))
        .until(holds::getAsBoolean);
  }

  /** Runs a script that returns a promise of something, and gives back what it becomes. */
  public Object run(String script) {
    Object answer =
        driver.executeAsyncScript(
            "const done = arguments[arguments.length - 1];"
                + "(async () => {"
                + script
                + "})().then(done, error => done('failed: ' + error));");
    return Objects.requireNonNull(answer, "a script that is run must return something");
  }

  /**
   * Fingers on the screen.
   *
   * @param kind {@code touchStart}, {@code touchMove} or {@code touchEnd}
   * @param places x and y of each finger, px
   */
  public void touch(String kind, int... places) {
    List<Map<String, Integer>> points = new ArrayList<>();
    for (int i = 0; i + 1 < places.length; i += 2) {
      points.add(Map.of("x", places[i], "y", places[i + 1], "id", i / 2));
    }
    driver.executeCdpCommand(
        "Input.dispatchTouchEvent", Map.of("type", kind, "touchPoints", points));
  }

  /** The zone of the device's clock; empty: its own again. */
  public void zone(String zone) {
    driver.executeCdpCommand("Emulation.setTimezoneOverride", Map.of("timezoneId", zone));
  }

  /** Takes the network away from the page, or gives it back. */
  public void offline(boolean offline) {
    driver.executeCdpCommand("Network.enable", Map.of());
    driver.executeCdpCommand(
        "Network.emulateNetworkConditions",
        Map.of("offline", offline, "latency", 0, "downloadThroughput", -1, "uploadThroughput", -1));
  }

  /**
   * Runs a script in every page from now on, before the page's own.
   *
   * @return a name to end that by
   */
  public String before(String script) {
    Map<String, Object> answer =
        driver.executeCdpCommand("Page.addScriptToEvaluateOnNewDocument", Map.of("source", script));
    return String.valueOf(answer.get("identifier"));
  }

  /**
   * Lets what a page does every half minute or less often be done three times a second, from the
   * next page on.
   *
   * @return a name to end that by
   */
  String soon() {
    return before(
        """
        const every = window.setInterval;
        window.setInterval = (work, ms, ...more) => every(work, ms >= 30000 ? 333 : ms, ...more);
        """);
  }

  /** Waits until an address was asked for so many times more. */
  public void untilAsked(String path, int times) {
    String count =
        "return performance.getEntriesByType('resource')"
            + ".filter((e) => new URL(e.name).pathname === '%s').length;".formatted(path);
    long before = ((Number) run(count)).longValue();
    until(path + " is asked for again", () -> ((Number) run(count)).longValue() >= before + times);
  }

  /** Ends what {@link #before} began. */
  public void noLonger(String name) {
    driver.executeCdpCommand(
        "Page.removeScriptToEvaluateOnNewDocument", Map.of("identifier", name));
  }

  /** Gives a site what it would have to ask the person for, for instance {@code notifications}. */
  public void allow(String origin, String permission) {
    driver.executeCdpCommand(
        "Browser.grantPermissions", Map.of("origin", origin, "permissions", List.of(permission)));
  }

  public byte[] picture() {
    return driver.getScreenshotAs(OutputType.BYTES);
  }

  /** Errors and warnings on the console since the last call. */
  public List<String> complaints() {
    return driver.manage().logs().get(LogType.BROWSER).getAll().stream()
        .filter(entry -> entry.getLevel().intValue() >= Level.WARNING.intValue())
        .map(entry -> entry.getMessage())
        .toList();
  }

  /** The network events since the last call, as JSON of the browser's own protocol. */
  public List<String> requests() {
    return driver.manage().logs().get(LogType.PERFORMANCE).getAll().stream()
        .map(entry -> entry.getMessage())
        .filter(message -> message.contains("\"Network.requestWillBeSent\""))
        .toList();
  }

  /** Puts it aside for the next test; ends it where one is at rest already, or it is broken. */
  @Override
  public void close() {
    if (AT_REST.isEmpty()) {
      try {
        makeAsNew();
        AT_REST.push(this);
        return;
      } catch (WebDriverException e) {
        QUIETED.warning("a browser is not used again: " + e.getMessage());
      }
    }
    quit();
  }

  /**
   * What was said for a tab (size, light, zone, scripts, the network taken away) ends with it; the
   * rest is forgotten.
   */
  private void makeAsNew() {
    Set<String> used = driver.getWindowHandles();
    driver.switchTo().newWindow(WindowType.TAB);
    String fresh = driver.getWindowHandle();
    for (String tab : used) {
      driver.switchTo().window(tab);
      driver.close();
    }
    driver.switchTo().window(fresh);
    desk();
    for (String site : visited) {
      driver.executeCdpCommand(
          "Storage.clearDataForOrigin", Map.of("origin", site, "storageTypes", "all"));
    }
    visited.clear();
    driver.executeCdpCommand("Network.clearBrowserCookies", Map.of());
    driver.executeCdpCommand("Network.clearBrowserCache", Map.of());
    driver.executeCdpCommand("Browser.resetPermissions", Map.of());
    complaints();
    requests();
  }

  private void quit() {
    driver.quit();
    try (Stream<Path> files = Files.walk(profile)) {
      files.sorted(Comparator.reverseOrder()).forEach(file -> file.toFile().delete());
    } catch (IOException | UncheckedIOException e) {
      QUIETED.warning("some of the browser's profile is left in " + profile); // still being written
    }
  }

  private static Optional<Path> onPath(String... names) {
    String path = Optional.ofNullable(System.getenv("PATH")).orElse("");
    return Stream.of(names)
        .flatMap(name -> Stream.of(path.split(":", -1)).map(folder -> Path.of(folder, name)))
        .filter(Files::isExecutable)
        .findFirst();
  }

  private static Path freshFolder() {
    try {
      return Files.createTempDirectory("opercle-browser");
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
