// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.util.Map;
import java.util.Optional;
import javax.imageio.ImageIO;
import opercle.dashboard.push.PushTestDesk;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Asking for notices, the service worker and the page without a server, in a real browser. */
class NoticesPageTest {

  @TempDir private Path folder;
  private PushTestDesk push;
  private DashboardServer server;
  private Browser browser;

  @BeforeEach
  void open() throws IOException {
    push = new PushTestDesk(folder);
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            FakeFarm.quiet(),
            new FakeTraces(),
            PastAlarms.NONE,
            Optional.of(push.desk()));
    browser = Browser.start(); // its first service worker is the one with the number 0
  }

  @AfterEach
  void close() {
    browser.close();
    server.close();
    push.close();
  }

  @Test
  void notices_areAskedFor_tried_andStopped() throws Exception {
    browser.allow(root(), "notifications");
    browser.before(push.browserThatSubscribes());
    look("/device");
    browser.until(
        "it is off", () -> browser.text("#notices-now").equals("This device is not called."));
    assertThat(browser.find("#notices-test").isDisplayed()).isFalse();

    browser.find("#notices-on").click();
    browser.until("the name is asked", () -> !browser.all("dialog #name").isEmpty());
    browser.find("dialog #name").sendKeys("Maren");
    browser.find("dialog [type=submit]").click();

    browser.until(
        "it is on", () -> browser.text("#notices-now").equals("This device is called for Maren."));
    assertThat(push.people()).containsExactly("Maren");
    assertThat(browser.run("return subscribedWith;")).isEqualTo(push.desk().publicKey());

    browser.find("#notices-test").click();
    browser.until("the test arrives", () -> push.arrived() == 1);
    assertThat(push.lastRead()).contains("Test: nothing is wrong").contains("Sallowmere");
    browser.until(
        "it is said", () -> browser.text("#notices-trouble").startsWith("The test is on"));

    browser.find("#notices-off").click();
    browser.until(
        "it is off", () -> browser.text("#notices-now").equals("This device is not called."));
    assertThat(push.people()).isEmpty();
    assertThat(browser.complaints()).isEmpty();
  }

  @Test
  void push_becomesOneNoticePerOccurrence_whichStaysWhileHigh() throws IOException {
    browser.allow(root(), "notifications");
    look("/device");
    register();

    browser.until(
        "it is shown",
        () -> { // the browser may know its worker a moment later than the page
          deliver(notice("Holding 2: gas has stopped", "About 31 min in hand.", true));
          return shown().contains("31 min");
        });
    deliver(notice("Holding 2: gas has stopped", "About 28 min in hand.", true));
    browser.until("it is replaced", () -> shown().contains("28 min"));

    JsonNode all = new ObjectMapper().readTree(shown());
    assertThat(all).hasSize(1);
    assertThat(all.get(0).path("title").asText()).isEqualTo("Holding 2: gas has stopped");
    assertThat(all.get(0).path("stays").asBoolean()).isTrue();
    assertThat(all.get(0).path("path").asText()).isEqualTo("/tank/h2");

    deliver("no JSON");
    browser.until("it is said all the same", () -> shown().contains("Opercle calls"));
  }

  @Test
  void goneServer_isSaidByAPageOfOurOwn_withTheLastTime() {
    look("/");
    register();
    browser.until(
        "the last time is kept",
        () -> Boolean.TRUE.equals(browser.run("return 'opercle-reached' in localStorage;")));
    int port = server.port();
    server.close();

    browser.go("http://127.0.0.1:" + port + "/tank/h1");

    browser.until("it is said", () -> browser.text("h1").equals("Opercle cannot be reached"));
    assertThat(browser.text("main")).contains("Nothing on this page is live.");
    assertThat(browser.text("#reached")).startsWith("Last reached less than a minute ago (");
    assertThat(browser.run("return getComputedStyle(document.body).marginTop;")).isEqualTo("0px");
    PageChecks.accessible(browser);

    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(port), FakeFarm.quiet(), new FakeTraces());
    browser.find("#again").click();
    browser.until("the tank is back", () -> browser.text("h1").contains("Holding 1"));
  }

  @Test
  void serviceWorker_keepsNothingThatCouldLookAlive() {
    look("/");
    register();

    Object kept =
        browser.run(
            """
            const names = await caches.keys();
            const stores = await Promise.all(names.map((name) => caches.open(name)));
            const all = await Promise.all(stores.map((store) => store.keys()));
            return all.flat().map(({url}) => new URL(url).pathname).sort().join(' ');
            """);

    assertThat(kept)
        .isEqualTo(
            "/assets/base.css /assets/early.js /assets/mark.svg /assets/offline.css"
                + " /assets/offline.js /offline");
  }

  @Test
  void manifest_isWhole_andItsIconsAreOfTheSizesItSays() throws Exception {
    HttpClient http = HttpClient.newHttpClient();
    var answer =
        http.send(
            HttpRequest.newBuilder(URI.create(root() + "/opercle.webmanifest")).build(),
            BodyHandlers.ofString());
    assertThat(answer.headers().firstValue("Content-Type").orElse(""))
        .startsWith("application/manifest+json");
    JsonNode manifest = new ObjectMapper().readTree(answer.body());

    assertThat(manifest.path("name").asText()).isEqualTo("Opercle");
    assertThat(manifest.path("display").asText()).isEqualTo("standalone");
    for (JsonNode icon : manifest.path("icons")) {
      if (icon.path("type").asText().equals("image/png")) {
        var image = ImageIO.read(URI.create(root() + icon.path("src").asText()).toURL());
        assertThat(image.getWidth() + "x" + image.getHeight())
            .isEqualTo(icon.path("sizes").asText());
      }
    }
    look("/");
    Map<String, Object> read = browser.driver().executeCdpCommand("Page.getAppManifest", Map.of());
    assertThat(read.get("errors")).asString().isEqualTo("[]");
    assertThat(read.get("url")).isEqualTo(root() + "/opercle.webmanifest");
  }

  private void register() {
    browser.until(
        "the service worker is in charge",
        () ->
            Boolean.TRUE.equals(
                browser.run(
                    "const r = await navigator.serviceWorker.getRegistration('/');"
                        + " return r?.active?.state === 'activated';")));
  }

  private void deliver(String data) {
    browser.driver().executeCdpCommand("ServiceWorker.enable", Map.of());
    browser
        .driver()
        .executeCdpCommand(
            "ServiceWorker.deliverPushMessage",
            Map.of("origin", root(), "registrationId", "0", "data", data));
  }

  private String shown() {
    return String.valueOf(
        browser.run(
            """
            const r = await navigator.serviceWorker.getRegistration('/');
            const all = await r.getNotifications();
            return JSON.stringify(all.map((n) =>
              ({title: n.title, body: n.body, stays: n.requireInteraction, path: n.data.path})));
            """));
  }

  private static String notice(String title, String body, boolean high) {
    return """
        {"title":"%s","body":"%s","tag":"h2/1","path":"/tank/h2","high":%s,"calls":true,
         "time":"2026-03-14T02:11:07Z"}"""
        .formatted(title, body, high);
  }

  private void look(String path) {
    browser.go(root() + path);
    browser.until("the page is there", () -> !browser.all("h1").isEmpty());
  }

  private String root() {
    return "http://127.0.0.1:" + server.port();
  }
}
