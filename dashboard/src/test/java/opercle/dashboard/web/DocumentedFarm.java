// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.fasterxml.jackson.databind.node.TextNode;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Base64;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.dashboard.access.Role;
import opercle.dashboard.web.ApiDocument.Operation;
import opercle.dashboard.web.OperationExample.Ask;

/** A guarded farm, asked as the document of its addresses and the examples of them say. */
final class DocumentedFarm implements AutoCloseable {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final HttpClient CLIENT = HttpClient.newHttpClient();

  final GuardedFarm guarded;
  final ApiDocument document;
  private final Map<String, String> cookies = new HashMap<>();
  private final Map<String, String> putIn = new HashMap<>();

  DocumentedFarm(Path folder) throws Exception {
    guarded = GuardedFarm.in(folder);
    cookies.put("Maren", guarded.cookie("Maren", Role.MANAGE));
    cookies.put("Tove", guarded.cookie("Tove", Role.KEEP));
    guarded.calling.looked(
        List.of(),
        List.of(
            new MonitorTrouble(
                TroubleKey.of(TroubleKind.DISK_FULL), FakeFarm.NIGHT, "The disk is full.")));
    await().until(() -> !guarded.calling.calledForTheMonitor().isEmpty());
    putIn.put("<password>", GuardedFarm.PASSWORD);
    putIn.put("<token>", guarded.access.addToken("a program", Role.LOOK, "Maren").token().id());
    putIn.put("<picture>", Base64.getEncoder().encodeToString(PictureTest.picture("png", 20, 10)));
    putIn.putAll(guarded.push.asksForNotices());
    document = new ApiDocument(JSON.readTree(given("@/api/v1/openapi.json")));
  }

  Operation operation(String id) {
    return document.operations().stream().filter(o -> o.id().equals(id)).findFirst().orElseThrow();
  }

  String path(Operation operation, Ask ask) {
    return putIn(ask.path().orElse(operation.path()));
  }

  private String putIn(String text) {
    String whole = text;
    for (Map.Entry<String, String> part : putIn.entrySet()) {
      whole = whole.replace(part.getKey(), part.getValue());
    }
    return whole;
  }

  /** What is sent, with what stands for something in its place. */
  Optional<JsonNode> filled(Optional<JsonNode> body) throws Exception {
    if (body.isEmpty()) {
      return body;
    }
    if (body.get().isTextual()) {
      return Optional.of(JSON.readTree(given(body.get().textValue())));
    }
    ObjectNode whole = (ObjectNode) JSON.readTree(putIn(body.get().toString()));
    for (Map.Entry<String, JsonNode> field : whole.properties()) {
      if (field.getValue().asText("").startsWith("@")) {
        field.setValue(TextNode.valueOf(given(field.getValue().textValue())));
      }
    }
    return Optional.of(whole);
  }

  private String given(String address) throws Exception {
    return guarded.send("GET", address.substring(1), "", "Cookie", cookie("Maren")).body();
  }

  private String cookie(String name) {
    return Objects.requireNonNull(cookies.get(name), name);
  }

  HttpResponse<InputStream> send(Operation operation, Ask ask, Optional<JsonNode> body)
      throws Exception {
    return send(operation, ask, path(operation, ask), body);
  }

  /** The same to another path. */
  HttpResponse<InputStream> send(Operation operation, Ask ask, String path, Optional<JsonNode> body)
      throws Exception {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(URI.create(guarded.root() + path))
            .timeout(Duration.ofSeconds(30))
            .method(
                operation.method(),
                body.map(json -> BodyPublishers.ofString(json.toString()))
                    .orElseGet(BodyPublishers::noBody));
    if (!operation.method().equals("GET")) {
      request.header("Origin", ask.from().orElse(guarded.root()));
    }
    if (!ask.as().equals(OperationExample.NOBODY)) {
      request.header("Cookie", cookie(ask.as()));
    }
    if (body.isPresent()) {
      request.header("Content-Type", "application/json");
    }
    return CLIENT.send(request.build(), BodyHandlers.ofInputStream());
  }

  /** The media type without its parameters. */
  static String type(HttpResponse<?> answer) {
    return answer.headers().firstValue("Content-Type").orElse("").replaceAll("\\s*;.*", "");
  }

  /** All of it; of a stream, which does not end, only how it begins. */
  static String read(HttpResponse<InputStream> answer) {
    try (InputStream in = answer.body()) {
      return type(answer).equals("text/event-stream")
          ? new String(in.readNBytes(20), UTF_8)
          : new String(in.readAllBytes(), UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Override
  public void close() {
    guarded.close();
  }
}
