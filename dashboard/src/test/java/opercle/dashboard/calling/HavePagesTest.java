// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;

import io.javalin.Javalin;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.stream.IntStream;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.book.FarmBook;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class HavePagesTest {

  private static final URI PUBLIC = URI.create("https://fish.example.org/");

  @TempDir Path folder;

  private final StandingFarm farm = new StandingFarm();
  private final HttpClient client = HttpClient.newHttpClient();
  private FarmBook book;
  private HaveLinks links;
  private Javalin server;

  @BeforeEach
  void start() throws IOException {
    book = FarmBook.open(FarmBook.fileIn(folder));
    links = HaveLinks.in(folder, PUBLIC);
    HavePages pages = new HavePages(farm, links, new CallBook(book, "Sallowmere"));
    server =
        Javalin.create(
                config -> {
                  config.startup.showJavalinBanner = false;
                  pages.accept(config.routes);
                })
            .start("127.0.0.1", 0);
  }

  @AfterEach
  void stop() {
    server.stop();
    book.close();
  }

  private String path(String nonce) {
    return links.link("Maren", Made.alarm(), Made.NIGHT, nonce).getPath();
  }

  private HttpResponse<String> send(String path, boolean post) throws Exception {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path));
    return client.send(
        (post ? request.POST(BodyPublishers.noBody()) : request.GET()).build(),
        BodyHandlers.ofString());
  }

  @Test
  void looking_changesNothing_howeverOften() throws Exception {
    for (int i = 0; i < 3; i++) {
      HttpResponse<String> page = send(path("n1"), false);
      assertThat(page.statusCode()).isEqualTo(200);
      assertThat(page.body())
          .contains(
              "Holding 2: Gas has stopped", "8 min in hand now", "I have it", "method=\"post\"")
          .doesNotContain("{{", "<script", "http://", "https://");
      assertThat(page.headers().firstValue("Cache-Control")).contains("no-store");
      assertThat(page.headers().firstValue("Referrer-Policy")).contains("same-origin");
      assertThat(page.headers().firstValue("Content-Security-Policy").orElse(""))
          .contains("form-action 'self'");
    }
    assertThat(farm.acknowledged).isEmpty();
  }

  @Test
  void pressing_acknowledgesUnderThePersonsName_once() throws Exception {
    HttpResponse<String> first = send(path("n1"), true);
    farm.hasIt = Optional.empty(); // worse again: the old link must not take the new call
    HttpResponse<String> second = send(path("n1"), true);

    assertThat(first.statusCode()).isEqualTo(200);
    assertThat(first.body()).contains("You have it, Maren").doesNotContain("<button");
    assertThat(second.statusCode()).isEqualTo(409);
    assertThat(second.body()).contains("has been used");
    assertThat(farm.acknowledged).containsExactly("Maren");
  }

  @Test
  void pressingTwice_orLookingAgain_stillSaysYouHaveIt() throws Exception {
    HttpResponse<String> first = send(path("n1"), true);

    for (boolean post : new boolean[] {true, false}) {
      HttpResponse<String> again = send(path("n1"), post);
      assertThat(again.statusCode()).isEqualTo(200);
      assertThat(again.body()).contains("You have it, Maren", "go and look");
    }
    assertThat(first.statusCode()).isEqualTo(200);
    assertThat(farm.acknowledged).containsExactly("Maren");
  }

  @Test
  void alarmThatAnotherSpeaksFor_isNotHad_butSaysWhichOneIs() throws Exception {
    farm.putAside = Optional.of(AlarmState.SUPPRESSED);

    HttpResponse<String> page = send(path("n1"), true);

    assertThat(page.body())
        .contains("Another alarm speaks for it now.", "Look at the yard")
        .doesNotContain("You have it");
    assertThat(farm.acknowledged).isEmpty();
  }

  @Test
  void pressingJustAfterAnother_saysWhoHasIt() throws Exception {
    farm.isQuicker = Optional.of("Tomas");

    HttpResponse<String> page = send(path("n1"), true);

    assertThat(page.statusCode()).isEqualTo(200);
    assertThat(page.body()).contains("Tomas has it.").doesNotContain("You have it");
  }

  @Test
  void pressingManyTimesAtOnce_acknowledgesOnce() {
    String path = path("n1");
    List<CompletableFuture<HttpResponse<String>>> all =
        IntStream.range(0, 8)
            .mapToObj(
                i ->
                    client.sendAsync(
                        HttpRequest.newBuilder(
                                URI.create("http://127.0.0.1:" + server.port() + path))
                            .POST(BodyPublishers.noBody())
                            .build(),
                        BodyHandlers.ofString()))
            .toList();
    all.forEach(CompletableFuture::join);

    assertThat(farm.acknowledged).containsExactly("Maren");
  }

  @Test
  void pressingThatDoesNotReachTheWatch_isSaid_andMayBeDoneAgain() throws Exception {
    farm.isCutOff = true;
    HttpResponse<String> lost = send(path("n1"), true);
    farm.isCutOff = false;
    HttpResponse<String> again = send(path("n1"), true);

    assertThat(lost.statusCode()).isEqualTo(503);
    assertThat(lost.body()).contains("It did not get through.", "Calling goes on.");
    assertThat(again.body()).contains("You have it, Maren");
  }

  @ParameterizedTest
  @EnumSource(names = {"SHELVED", "OUT_OF_SERVICE", "LATCHED_ACKNOWLEDGED"})
  void whatCannotBeHadNow_isNotSaidToBeHad_andLeavesTheLink(AlarmState state) throws Exception {
    farm.putAside = Optional.of(state);
    HttpResponse<String> pressed = send(path("n1"), true);
    farm.putAside = Optional.empty();
    HttpResponse<String> again = send(path("n1"), true);

    assertThat(pressed.body()).doesNotContain("You have it", "<button");
    assertThat(again.body()).contains("You have it, Maren");
  }

  @Test
  void bookThatTakesNothing_isSaidInWords() throws Exception {
    book.close();
    HttpResponse<String> pressed = send(path("n1"), true);

    assertThat(pressed.statusCode()).isEqualTo(503);
    assertThat(pressed.body())
        .contains(
            "It did not get through",
            "goes on calling",
            "Go to the tank now. Ring the others",
            "Holding 2: ",
            "min in hand now")
        .doesNotContain("<button", "You have it");
    assertThat(farm.acknowledged).isEmpty();
  }

  /** What stands is known without the book. */
  @Test
  void bookThatTakesNothing_keepsNobodyFromReadingThatAnotherHasIt() throws Exception {
    book.close();
    farm.hasIt = Optional.of("Tomas");

    HttpResponse<String> page = send(path("n1"), false);

    assertThat(page.statusCode()).isEqualTo(200);
    assertThat(page.body()).contains("Tomas has it.", "you need not go");
  }

  @Test
  void whoeverHasItAlready_isNotToldToStay() throws Exception {
    farm.hasIt = Optional.of("Maren");

    HttpResponse<String> page = send(path("n2"), false);

    assertThat(page.body())
        .contains("You have it, Maren.", "go and look")
        .doesNotContain("need not");
  }

  @Test
  void forgedLink_isRefused_whateverWasChanged() throws Exception {
    String good = path("n1");
    String otherKey =
        new HaveLinks(PUBLIC, "x".repeat(43))
            .link("Maren", Made.alarm(), Made.NIGHT, "n1")
            .getPath();
    for (String bad :
        List.of(
            otherKey,
            good + "0",
            good.substring(0, good.length() - 1),
            "/have/x",
            "/have/a.b",
            "/have/%25.")) {
      HttpResponse<String> answer = send(bad, true);
      assertThat(answer.statusCode()).as(bad).isEqualTo(404);
      assertThat(answer.body()).contains("This link is not right.");
    }
    assertThat(farm.acknowledged).isEmpty();
  }

  @Test
  void oldLink_isRefused() throws Exception {
    farm.now = Made.NIGHT.plus(Duration.ofHours(12));

    assertThat(send(path("n1"), true).statusCode()).isEqualTo(410);
    assertThat(farm.acknowledged).isEmpty();
  }

  @Test
  void linkOfAnEarlierOccurrence_isRefused() throws Exception {
    farm.since = Optional.of(Made.NIGHT.plusSeconds(600));

    assertThat(send(path("n1"), true).body()).contains("That alarm is over.");
    assertThat(farm.acknowledged).isEmpty();
  }

  @Test
  void alarmThatSomebodyHas_saysWho() throws Exception {
    farm.hasIt = Optional.of("Tomas <b>");

    assertThat(send(path("n1"), true).body()).contains("Tomas &lt;b&gt; has it.");
    assertThat(farm.acknowledged).isEmpty();
  }

  @Test
  void key_isReadableByItsOwnerAlone_andStays() throws Exception {
    Path key = folder.resolve("link.key");

    assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(key)))
        .isEqualTo("rw-------");
    assertThat(HaveLinks.in(folder, PUBLIC).link("Maren", Made.alarm(), Made.NIGHT, "n"))
        .isEqualTo(links.link("Maren", Made.alarm(), Made.NIGHT, "n"));
  }

  @Test
  void usedLinks_areForgotten_onceTheyHaveLongEnded() {
    CallBook calls = new CallBook(book, "Sallowmere");
    assertThat(calls.use("old", Made.NIGHT, "Maren")).isTrue();
    assertThat(calls.use("old", Made.NIGHT.plus(Duration.ofHours(11)), "Maren")).isFalse();

    assertThat(calls.use("later", Made.NIGHT.plus(Duration.ofHours(25)), "Maren")).isTrue();

    assertThat(calls.isUsed("old")).as("a link of it has ended 13 hours ago").isFalse();
    assertThat(calls.isUsed("later")).isTrue();
  }
}
