// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.sun.net.httpserver.Headers;
import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.security.Signature;
import java.util.Base64;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.CopyOnWriteArrayList;

/**
 * A push service on this machine. It keeps what it is sent, and answers as it is told to. Safe for
 * many threads.
 */
final class FakePushService implements AutoCloseable {

  /** What one POST carried. */
  static final class Received {
    private final String path;
    private final Headers headers;
    private final byte[] body;

    Received(String path, Headers headers, byte[] body) {
      this.path = path;
      this.headers = headers;
      this.body = body;
    }

    String path() {
      return path;
    }

    byte[] body() {
      return body.clone();
    }

    String header(String name) {
      return Objects.requireNonNull(headers.getFirst(name), name);
    }

    /** The claims of the VAPID token, once its signature has been found good. */
    JsonNode claims() throws GeneralSecurityException, IOException {
      String[] parts = header("Authorization").substring("vapid t=".length()).split(", k=", 2);
      String[] token = parts[0].split("\\.", 3);
      Signature signature = Signature.getInstance("SHA256withECDSAinP1363Format");
      signature.initVerify(P256.publicKey(decoded(parts[1])));
      signature.update((token[0] + "." + token[1]).getBytes(StandardCharsets.US_ASCII));
      if (!signature.verify(decoded(token[2]))) {
        throw new GeneralSecurityException("the token's signature is not of the key beside it");
      }
      JsonNode header = new ObjectMapper().readTree(decoded(token[0]));
      if (!header.path("alg").asText().equals("ES256")) {
        throw new GeneralSecurityException("not ES256: " + header);
      }
      return new ObjectMapper().readTree(decoded(token[1]));
    }

    private static byte[] decoded(String text) {
      return Base64.getUrlDecoder().decode(text);
    }
  }

  private final HttpServer server;
  private final List<Received> received = new CopyOnWriteArrayList<>();
  private volatile int status = 201;
  private volatile String retryAfter = "";

  FakePushService() throws IOException {
    server = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
    server.createContext("/", this::take);
    server.start();
  }

  String endpoint(String device) {
    return "http://127.0.0.1:%d/send/%s".formatted(server.getAddress().getPort(), device);
  }

  void answer(int newStatus) {
    answer(newStatus, "");
  }

  void answer(int newStatus, String newRetryAfter) {
    status = newStatus;
    retryAfter = newRetryAfter;
  }

  List<Received> received() {
    return received;
  }

  @Override
  public void close() {
    server.stop(0);
  }

  private void take(HttpExchange exchange) throws IOException {
    byte[] body = exchange.getRequestBody().readAllBytes();
    received.add(
        new Received(exchange.getRequestURI().getPath(), exchange.getRequestHeaders(), body));
    if (!retryAfter.isEmpty()) {
      exchange.getResponseHeaders().add("Retry-After", retryAfter);
    }
    if (status / 100 == 3) {
      exchange.getResponseHeaders().add("Location", endpoint("elsewhere"));
    }
    exchange.sendResponseHeaders(status, -1);
    exchange.close();
  }
}
