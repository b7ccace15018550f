// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.ISO_8859_1;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient.Version;
import java.net.http.HttpHeaders;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import javax.net.ssl.SSLSession;

/** The answer to a request that is sent as it is written. */
record RawAnswer(int statusCode, HttpHeaders headers, String body) implements HttpResponse<String> {

  static RawAnswer of(int port, String line, String... headers) throws IOException {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), port)) {
      socket.setSoTimeout(10_000);
      String more = headers.length == 0 ? "" : String.join("\r\n", headers) + "\r\n";
      socket
          .getOutputStream()
          .write(
              (line + "\r\nHost: localhost\r\nConnection: close\r\n" + more + "\r\n")
                  .getBytes(ISO_8859_1));
      return parsed(new String(socket.getInputStream().readAllBytes(), ISO_8859_1));
    }
  }

  private static RawAnswer parsed(String text) {
    int end = text.indexOf("\r\n\r\n");
    List<String> lines = text.substring(0, end).lines().toList();
    Map<String, List<String>> headers = new TreeMap<>(String.CASE_INSENSITIVE_ORDER);
    for (String line : lines.subList(1, lines.size())) {
      int colon = line.indexOf(':');
      headers
          .computeIfAbsent(line.substring(0, colon), name -> new ArrayList<>())
          .add(line.substring(colon + 1).strip());
    }
    return new RawAnswer(
        Integer.parseInt(lines.get(0).substring(9, 12)),
        HttpHeaders.of(headers, (name, value) -> true),
        text.substring(end + 4));
  }

  @Override
  public HttpRequest request() {
    throw new UnsupportedOperationException();
  }

  @Override
  public Optional<HttpResponse<String>> previousResponse() {
    return Optional.empty();
  }

  @Override
  public Optional<SSLSession> sslSession() {
    return Optional.empty();
  }

  @Override
  public URI uri() {
    throw new UnsupportedOperationException();
  }

  @Override
  public Version version() {
    return Version.HTTP_1_1;
  }
}
