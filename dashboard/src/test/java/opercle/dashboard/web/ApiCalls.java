// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;

/** Asks a server as programs do. */
final class ApiCalls {

  private static final HttpClient CLIENT = HttpClient.newHttpClient();

  private ApiCalls() {}

  /**
   * Sends JSON and gives what is answered.
   *
   * @param body with single quotes for double ones, so that it can be read in a test
   */
  static HttpResponse<String> send(DashboardServer server, String method, String path, String body)
      throws IOException, InterruptedException {
    return sendAsIs(server, method, path, body.replace('\'', '"'));
  }

  /** The same of a body that has single quotes of its own. */
  static HttpResponse<String> sendAsIs(
      DashboardServer server, String method, String path, String body)
      throws IOException, InterruptedException {
    return CLIENT.send(
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path))
            .header("Content-Type", "application/json")
            .method(method, BodyPublishers.ofString(body))
            .build(),
        BodyHandlers.ofString());
  }
}
