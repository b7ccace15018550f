// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The command against a server that answers what the test wants. */
class EveningCommandTest {

  private static final String NOT_YET =
      """
      {"type":"evening","farm":"Sallowmere","time":"2026-03-14T21:00:00.000Z",
       "morning":"2026-03-15T07:00:00.000Z","canGoToBed":false,"open":2,
       "tanks":[
        {"tank":"t1","name":"Trailer tank","answer":"no","inHandIfGasStopsLowMinutes":9.8,
         "checks":[
          {"topic":"probes","answer":"yes","words":"An oxygen probe is fresh and trusted."},
          {"topic":"time-in-hand","answer":"no",
           "words":"No alarm can save this tank: if gas stops, 9 min in hand at the least; 11 min needed, 1 min to notice and 10 min for you to get gas flowing.",
           "action":"Have automatic stand-by oxygen fitted, or take fish out. Until then somebody stays by the tank."},
          {"topic":"water","answer":"unknown","words":"Water temperature is not known.",
           "action":"See to the temperature probe; until then measure by hand."}]}],
       "checks":[{"topic":"monitor","answer":"yes","words":"The monitor finds nothing wrong with itself."}]}
      """;

  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  @TempDir private Path folder;

  @Test
  void text_hasTheAnswerFirst_andOneActionUnderEachNo() throws Exception {
    String text = EveningText.of(new ObjectMapper().readTree(NOT_YET), ZoneId.of("UTC"));

    assertThat(text)
        .isEqualTo(
            """
            NOT YET. 2 things to see to.
            Sallowmere, Sat 14 Mar 21:00; the next look is at Sun 15 Mar 07:00.

            The monitor and the people it calls
              yes       The monitor finds nothing wrong with itself.

            Trailer tank (t1)
              yes       An oxygen probe is fresh and trusted.
              NO        No alarm can save this tank: if gas stops, 9 min in hand at the least; 11 min
                        needed, 1 min to notice and 10 min for you to get gas flowing.
                  do:   Have automatic stand-by oxygen fitted, or take fish out. Until then somebody stays
                        by the tank.
              NOT KNOWN Water temperature is not known.
                  do:   See to the temperature probe; until then measure by hand.""");
  }

  @Test
  void notYet_endsWithOne() throws Exception {
    assertThat(ask(200, NOT_YET)).isEqualTo(1);
    assertThat(out.toString()).startsWith("NOT YET.");
    assertThat(err.toString()).isEmpty();
  }

  @Test
  void canGoToBed_endsWithZero_alsoAsJson() throws Exception {
    String bed =
        NOT_YET
            .replace("\"canGoToBed\":false", "\"canGoToBed\":true")
            .replace("\"open\":2", "\"open\":0");

    assertThat(ask(200, bed, "--json")).isZero();
    assertThat(new ObjectMapper().readTree(out.toString()).path("canGoToBed").booleanValue())
        .isTrue();
  }

  @Test
  void noFarmRunning_endsWithTwo_andOneLine() throws Exception {
    int freePort;
    try (var socket = new java.net.ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      freePort = socket.getLocalPort();
    }

    assertThat(run(freePort)).isEqualTo(2);
    assertThat(err.toString().lines()).hasSize(1);
    assertThat(err.toString()).contains("no farm answers at http://127.0.0.1:" + freePort);
    assertThat(out.toString()).isEmpty();
  }

  @Test
  void somethingElseAnswers_endsWithTwo() throws Exception {
    assertThat(ask(200, "<html>")).isEqualTo(2);
    assertThat(ask(404, "{}")).isEqualTo(2);
    assertThat(err.toString().lines()).hasSize(2);
  }

  private int ask(int status, String body, String... more) throws IOException {
    HttpServer server =
        HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
    server.createContext(
        "/api/v1/evening",
        exchange -> {
          byte[] bytes = body.getBytes(UTF_8);
          exchange.sendResponseHeaders(status, bytes.length);
          exchange.getResponseBody().write(bytes);
          exchange.close();
        });
    server.start();
    try {
      return run(server.getAddress().getPort(), more);
    } finally {
      server.stop(0);
    }
  }

  private int run(int port, String... more) throws IOException {
    Files.writeString(
        folder.resolve("farm.yaml"),
        """
        farm: Sallowmere
        tanks:
          - id: h1
            kind: holding
            waterLitres: 1500
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
        """);
    Path config = folder.resolve("opercle.yaml");
    Files.writeString(config, "farm: farm.yaml\ndashboard: { port: %d }\n".formatted(port));
    String[] args = new String[3 + more.length];
    args[0] = "evening";
    args[1] = "--config";
    args[2] = config.toString();
    System.arraycopy(more, 0, args, 3, more.length);
    return OpercleCommand.run(args, new PrintWriter(out, true), new PrintWriter(err, true));
  }
}
