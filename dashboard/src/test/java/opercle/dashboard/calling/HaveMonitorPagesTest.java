// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import io.javalin.Javalin;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import opercle.analysis.book.FarmBook;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.MonitorCause;
import opercle.analysis.calling.Person;
import opercle.analysis.calling.Target;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKind;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Somebody says that they have a trouble of the monitor, while the farm book takes nothing. */
class HaveMonitorPagesTest {

  private static final MonitorTrouble FULL =
      Made.trouble(TroubleKind.DISK_FULL, "The disk is full: about 0 MB are left for <data>.");

  @TempDir Path folder;

  private final List<Message> taken = new CopyOnWriteArrayList<>();
  private final HttpClient client = HttpClient.newHttpClient();
  private volatile Instant now = Made.NIGHT;
  private FarmBook farmBook;
  private HaveLinks links;
  private CallingService service;
  private Javalin server;

  @BeforeEach
  void start() throws IOException {
    farmBook = FarmBook.open(FarmBook.fileIn(folder));
    links = HaveLinks.in(folder, URI.create("https://fish.example.org/"));
    CallBook book = new CallBook(farmBook, "Sallowmere");
    service =
        CallingService.start(
            Made.stockedFarm(),
            new CallingPlan(
                List.of(
                    new Person("Maren", List.of("mail"), Optional.empty()),
                    new Person("Tomas", List.of("mail"), Optional.empty())),
                ZoneOffset.UTC,
                CallingPlan.USUAL_NIGHT,
                CallingPlan.USUAL_MORNING,
                CallingPlan.USUAL_PATIENCE,
                Optional.empty()),
            Map.of(
                new Target("Maren", "mail"), this::take, new Target("Tomas", "mail"), this::take),
            Optional.of(links),
            book,
            () -> now);
    farmBook.close(); // from now on nothing can be written
    HaveMonitorPages pages = new HaveMonitorPages(service, links, () -> now);
    CallingApi api = new CallingApi(service, book);
    server =
        Javalin.create(
                config -> {
                  config.startup.showJavalinBanner = false;
                  pages.accept(config.routes);
                  api.accept(config.routes);
                })
            .start("127.0.0.1", 0);
    service.looked(List.of(), List.of(FULL));
    await().until(() -> taken.size() == 1);
  }

  @AfterEach
  void stop() {
    server.stop();
    service.close();
  }

  private Delivery take(Message message) {
    taken.add(message);
    return new Delivery.Accepted("taken");
  }

  private HttpResponse<String> send(String path, Optional<String> body) throws Exception {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path));
    return client.send(
        body.map(b -> request.POST(BodyPublishers.ofString(b))).orElse(request).build(),
        BodyHandlers.ofString());
  }

  private String path() {
    return taken.get(0).link().orElseThrow().getPath();
  }

  private void untilTomasIsCalledToo() {
    await()
        .pollInterval(Duration.ofMillis(20))
        .until(
            () -> {
              now = now.plusSeconds(20);
              service.looked(List.of(), List.of(FULL));
              return taken.stream().anyMatch(m -> m.call().person().equals("Tomas"));
            });
  }

  private long told(String person, Call.Kind kind) {
    return taken.stream()
        .map(Message::call)
        .filter(c -> c.person().equals(person) && c.kind() == kind)
        .count();
  }

  /** Calling hears of the first press a moment after the second: the first name stays. */
  @Test
  void twoWhoPressInOneMoment_hearOfOneWhoHasIt() throws Exception {
    untilTomasIsCalledToo();
    String marens = path();
    String tomas =
        taken.stream()
            .filter(m -> m.call().person().equals("Tomas"))
            .findFirst()
            .flatMap(Message::link)
            .orElseThrow()
            .getPath();

    HttpResponse<String> first = send(marens, Optional.of(""));
    HttpResponse<String> second = send(tomas, Optional.of(""));

    assertThat(first.body()).contains("You have it, Maren");
    assertThat(second.body()).contains("Maren has it").doesNotContain("You have it");
  }

  @Test
  void looking_changesNothing_pressingStopsTheCalls_andTheOthersAreTold() throws Exception {
    untilTomasIsCalledToo();
    HttpResponse<String> page = send(path(), Optional.empty());
    assertThat(page.statusCode()).isEqualTo(200);
    assertThat(page.body())
        .contains("Monitor: the disk is full", "Make room on the disk now", "method=\"post\"")
        .contains("&lt;data&gt;")
        .doesNotContain("{{", "<script");
    assertThat(page.headers().firstValue("Cache-Control")).contains("no-store");

    assertThat(send(path(), Optional.of("")).body()).contains("You have it, Maren.");
    await().until(() -> told("Tomas", Call.Kind.TAKEN) == 1);
    assertThat(told("Maren", Call.Kind.TAKEN)).isZero();
    assertThat(send(path(), Optional.of("")).body())
        .as("whoever has it is not told that they need not go")
        .contains("You have it, Maren.")
        .doesNotContain("You need not go");
    String hers = path();
    String his =
        taken.stream()
            .filter(m -> m.call().person().equals("Tomas"))
            .flatMap(m -> m.link().stream())
            .findFirst()
            .orElseThrow()
            .getPath();
    assertThat(his).isNotEqualTo(hers);
    assertThat(send(his, Optional.of("")).body()).contains("Maren has it.", "You need not go");
  }

  @Test
  void withoutFishAnyMore_nobodyIsCalled_andThePageSaysSo() throws Exception {
    service.described(Made.farm(), Set.of());
    service.looked(List.of(), List.of(FULL));
    await()
        .until(() -> service.state().monitor().values().stream().noneMatch(MonitorCause::urgent));

    HttpResponse<String> page = send(path(), Optional.of(""));

    assertThat(page.body())
        .contains("Nobody is called for it any more.")
        .doesNotContain("You have it", "method=\"post\"");
  }

  @Test
  void api_saysTheSame_whereThereAreNoLinks() throws Exception {
    String have = "/api/v1/monitor/troubles/disk-full/have";
    assertThat(send(have, Optional.of("{}")).statusCode()).isEqualTo(400);
    for (String name : List.of("x".repeat(61), "Maren\\u0007", "Maren\\nX-Injected: 1")) {
      assertThat(send(have, Optional.of("{\"by\":\"" + name + "\"}")).statusCode()).isEqualTo(400);
    }
    assertThat(
            send("/api/v1/monitor/troubles/broker-lost/have", Optional.of("{\"by\":\"Maren\"}"))
                .statusCode())
        .isEqualTo(404);
    assertThat(send(have, Optional.of("{\"by\":\"Maren\"}")).statusCode()).isEqualTo(204);

    await().until(() -> send(path(), Optional.empty()).body().contains("You have it, Maren."));
  }

  @Test
  void wrongOrOldLink_isRefused_andNoLinkOfAnAlarmOpensIt() throws Exception {
    assertThat(send(path() + "x", Optional.empty()).statusCode()).isEqualTo(404);
    String ofAlarm =
        links.link("Maren", Made.alarm(), now, "n").getPath().replace("/have/", "/have/monitor/");
    assertThat(send(ofAlarm, Optional.empty()).statusCode()).isEqualTo(404);
    assertThat(links.read(path().replace("/have/monitor/", ""))).isEmpty();
    now = now.plus(Duration.ofHours(12));
    assertThat(send(path(), Optional.empty()).statusCode()).isEqualTo(410);
  }

  @Test
  void over_isSaid() throws Exception {
    service.looked(List.of(), List.of());
    await()
        .until(
            () -> {
              now = now.plusSeconds(60);
              service.looked(List.of(), List.of());
              return told("Maren", Call.Kind.ENDED) == 1;
            });

    assertThat(send(path(), Optional.empty()).body()).contains("That is over.");
  }
}
