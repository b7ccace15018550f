// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.PrintWriter;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.time.Duration;
import java.time.ZoneId;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.function.UnaryOperator;
import opercle.dashboard.web.DashboardSettings;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code evening}: asks a running farm whether its keeper can go to bed. */
@Command(
    name = "evening",
    description = {
      "The evening check of a running farm: can I go to bed?",
      "Exit code 0: you can; 1: not yet, and why; 2: no farm answers."
    })
final class EveningCommand implements Callable<Integer> {

  private static final int NOT_YET = 1;
  private static final int NO_ANSWER = 2;
  private static final String TOKEN = "OPERCLE_TOKEN";
  private static final Duration PATIENCE = Duration.ofSeconds(10);
  private static final ObjectMapper JSON = new ObjectMapper();

  @Spec private CommandSpec spec;

  @Option(
      names = "--config",
      paramLabel = "opercle.yaml",
      description =
          "The running farm's configuration, which says where it answers. Default:"
              + " http://127.0.0.1:8080.")
  private @Nullable Path config;

  private final UnaryOperator<@Nullable String> environment;

  EveningCommand() {
    this(System::getenv);
  }

  EveningCommand(UnaryOperator<@Nullable String> environment) {
    this.environment = environment;
  }

  @Option(names = "--json", description = "Print the answer as JSON.")
  private boolean json;

  @Override
  public Integer call() {
    URI farm = address();
    String body;
    try {
      body = ask(farm);
    } catch (NoAnswerException e) {
      spec.commandLine()
          .getErr()
          .println("opercle: no farm answers at %s: %s".formatted(farm, e.getMessage()));
      return NO_ANSWER;
    }
    JsonNode answer = read(body);
    if (!answer.path("canGoToBed").isBoolean()) {
      spec.commandLine()
          .getErr()
          .println(
              "opercle: what answers at %s gives no evening check: another version, or not Opercle"
                  .formatted(farm));
      return NO_ANSWER;
    }
    PrintWriter out = spec.commandLine().getOut();
    out.println(json ? answer.toPrettyString() : EveningText.of(answer, ZoneId.systemDefault()));
    out.flush();
    return answer.path("canGoToBed").booleanValue() ? 0 : NOT_YET;
  }

  private URI address() {
    if (config == null) {
      return URI.create("http://127.0.0.1:" + ConfigurationReader.DEFAULT_PORT);
    }
    Configuration c = ConfigurationReader.read(config);
    String listens = c.dashboardHost();
    String name = isEveryAddress(listens) ? DashboardSettings.LOOPBACK : listens;
    String host = name.contains(":") ? "[" + name + "]" : name;
    if (c.door().tls().isPresent()) {
      // A certificate is for a name, and the public address has it.
      return c.calling()
          .publicUrl()
          .orElse(URI.create("https://" + host + ":" + c.dashboardPort()));
    }
    return URI.create("http://" + host + ":" + c.dashboardPort());
  }

  /** What listens everywhere is asked on this machine. */
  private static boolean isEveryAddress(String host) {
    return host.equals("0.0.0.0") || host.equals("::");
  }

  private static JsonNode read(String body) {
    try {
      return JSON.readTree(body);
    } catch (JsonProcessingException e) {
      return JSON.missingNode();
    }
  }

  private String ask(URI farm) throws NoAnswerException {
    HttpClient client =
        HttpClient.newBuilder()
            .proxy(HttpClient.Builder.NO_PROXY) // it is on this machine
            .connectTimeout(PATIENCE)
            .build();
    HttpRequest.Builder request =
        HttpRequest.newBuilder(farm.resolve("/api/v1/evening")).timeout(PATIENCE);
    @Nullable String token = environment.apply(TOKEN);
    if (token != null && !token.isBlank()) {
      request.header("Authorization", "Bearer " + token.strip());
    }
    try {
      HttpResponse<String> response =
          client.send(request.build(), HttpResponse.BodyHandlers.ofString());
      if (response.statusCode() == 401) {
        throw new NoAnswerException(
            "it wants a token that is still good; make one with opercle token add evening --role look,"
                + " and set OPERCLE_TOKEN to it");
      }
      if (response.statusCode() != 200) {
        throw new NoAnswerException("it answers with HTTP status " + response.statusCode());
      }
      return response.body();
    } catch (IOException e) {
      throw new NoAnswerException(
          Optional.ofNullable(e.getMessage()).orElse("nothing listens there; is Opercle running?"));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new NoAnswerException("asked to end");
    }
  }

  /** Why there is no answer. */
  private static final class NoAnswerException extends Exception {
    private static final long serialVersionUID = 1;

    NoAnswerException(String why) {
      super(why);
    }
  }
}
