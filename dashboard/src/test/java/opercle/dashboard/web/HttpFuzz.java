// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.ISO_8859_1;

import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;

/**
 * Sends requests that are wrong in some way, over connections that are kept as long as the server
 * keeps them. It must answer each, or end the connection, soon; and never with a fault of its own.
 * The same seed gives the same requests. One thread.
 */
final class HttpFuzz implements AutoCloseable {

  private static final int PATIENCE_MS = 30_000;
  private static final int ENDED = 0;

  private static final List<String> METHODS =
      List.of(
          "GET", "POST", "PUT", "DELETE", "HEAD", "OPTIONS", "PATCH", "TRACE", "G@T", "", "get");

  private static final List<String> PATHS =
      List.of(
          "/",
          "/tank/h1",
          "/evening",
          "/plan",
          "/alarms",
          "/monitor",
          "/setup",
          "/records",
          "/trips",
          "/login",
          "/metrics",
          "/health/live",
          "/health/ready",
          "/assets/opercle.css",
          "/sw.js",
          "/api/v1/tanks",
          "/api/v1/last-hour",
          "/api/v1/openapi.json",
          "/api/v1/tanks/h1/trace",
          "/api/v1/tanks/h1/readings.csv?from=2026-03-14T00:00:00Z",
          "/api/v1/alarms",
          "/api/v1/plan?waterLitres=650&species=tench&kg=50&temperature=12&minutes=90&gas=oxygen",
          "/api/v1/tanks/h1/alarms/oxygen-low/acknowledge",
          "/api/v1/tanks/h1/out-of-service",
          "/api/v1/setup/check",
          "/api/v1/records/check",
          "/api/v1/trips",
          "/api/v1/trips/import",
          "/api/v1/session",
          "/have/x",
          "/api/v1/tanks/h1/events",
          "/api/v1/users");

  private static final List<String> BITS =
      List.of(
          "%",
          "%00",
          "%2e%2e%2f",
          "../",
          "//",
          "\\",
          "?",
          "&",
          "=",
          "#",
          ";",
          ":",
          " ",
          "\t",
          "\0",
          "\r",
          "\n",
          "\r\n\r\n",
          "\u00ff",
          "%c0%ae",
          "%zz",
          "{",
          "}",
          "[",
          "]",
          "\"",
          "<script>",
          "A".repeat(9_000),
          "1e999",
          "-1",
          "99999999999999999999",
          "chunked",
          "HTTP/9.9");

  private static final List<String> HEADERS =
      List.of(
          "Content-Length: 5",
          "Content-Length: -1",
          "Content-Length: 99999999999999999999",
          "Content-Length: abc",
          "Transfer-Encoding: chunked",
          "Transfer-Encoding: gzip",
          "Content-Type: application/json",
          "Content-Type: text/plain; charset=no-such",
          "Content-Type: multipart/form-data",
          "Content-Encoding: gzip",
          "Expect: 100-continue",
          "Expect: x",
          "Range: bytes=9-1",
          "Range: bytes=-",
          "If-Modified-Since: yesterday",
          "If-None-Match: \"",
          "Accept: */*;q=x",
          "Accept-Encoding: gzip;q=2",
          "Accept-Language: ,,",
          "Cookie: opercle=x; =; ;;",
          "Cookie: " + "c".repeat(3_000),
          "Authorization: Bearer",
          "Authorization: Basic !!",
          "Authorization: " + "x".repeat(3_000),
          "Host: evil.example",
          "Host:",
          "Upgrade: websocket",
          "Upgrade: h2c",
          "Connection: close, upgrade",
          "Origin: null",
          "Origin: http://localhost",
          "X-Forwarded-For: ,,;",
          "Last-Event-ID: x",
          "No colon",
          ": no name",
          " Folded: x",
          "Nul: \0",
          "Bad\u0001Name: x");

  private static final List<String> VERSIONS = List.of("\r\n", " HTTP/1.0\r\n", " ");

  private static final String JSON =
      "{\"by\":\"Maren\",\"note\":\"x\",\"minutes\":30,\"list\":[1,{\"a\":null}],\"time\":\"2026-03-14T02:00:00Z\"}";

  /**
   * What came of it.
   *
   * @param statuses how often which; 0: the connection was ended without an answer
   * @param slowest the longest wait for an answer
   * @param slowestRequest to which request, and what came of it
   * @param faults requests that were answered with a fault of the server's, or not at all
   */
  record Outcome(
      Map<Integer, Long> statuses, Duration slowest, String slowestRequest, List<String> faults) {}

  private final int port;
  private final Random random;
  private Socket socket;
  private InputStream in;
  private boolean wasHead;
  private boolean whole;

  HttpFuzz(int port, long seed) throws IOException {
    this.port = port;
    this.random = new Random(seed);
    this.socket = connected();
    this.in = new BufferedInputStream(socket.getInputStream());
  }

  private Socket connected() throws IOException {
    Socket fresh = new Socket(InetAddress.getLoopbackAddress(), port);
    fresh.setSoTimeout(PATIENCE_MS);
    fresh.setTcpNoDelay(true);
    fresh.setSoLinger(true, 0); // a million connections must not wait for their ports to come free
    return fresh;
  }

  Outcome run(long count) throws IOException {
    Map<Integer, Long> statuses = new TreeMap<>();
    List<String> faults = new ArrayList<>();
    long slowest = 0;
    String slowestRequest = "";
    for (long i = 0; i < count; i++) {
      byte[] request = request();
      long begun = System.nanoTime();
      int status = status(request);
      long took = System.nanoTime() - begun;
      if (took > slowest) {
        slowest = took;
        slowestRequest = (whole ? "" : "its end cut off: ") + status + " to " + shown(request);
      }
      statuses.merge(status, 1L, Long::sum);
      if (status < 0 || (status >= 500 && status != 501 && status != 505)) {
        faults.add(status + " to " + shown(request));
        if (faults.size() > 20) {
          break;
        }
      }
    }
    return new Outcome(statuses, Duration.ofNanos(slowest), slowestRequest, faults);
  }

  private static String shown(byte[] request) {
    String text = new String(request, ISO_8859_1).replace("\r\n", "⏎");
    return text.length() <= 600 ? text : text.substring(0, 600) + "…";
  }

  /** Of the answer; 0 where the connection was ended instead, -1 where nothing came in time. */
  private int status(byte[] request) throws IOException {
    int status;
    boolean goesOn = false;
    try {
      socket.getOutputStream().write(request);
      if (!whole) {
        socket.shutdownOutput(); // or the server would wait for the rest, as it should
      }
      Answer answer = answer();
      status = answer.status;
      goesOn = whole && answer.goesOn;
    } catch (SocketTimeoutException e) {
      status = -1;
    } catch (IOException e) {
      status = ENDED;
    }
    if (!goesOn) {
      socket.close();
      socket = connected();
      in = new BufferedInputStream(socket.getInputStream());
    }
    return status;
  }

  private record Answer(int status, boolean goesOn) {}

  /** Reads one answer whole, or as much as tells that the connection is of no more use. */
  private Answer answer() throws IOException {
    String first = line();
    if (first.length() < 12 || !first.startsWith("HTTP/1.")) {
      return new Answer(ENDED, false);
    }
    int status = Integer.parseInt(first.substring(9, 12));
    long length = -1;
    boolean goesOn = true;
    for (String header = line(); !header.isEmpty(); header = line()) {
      String lower = header.toLowerCase(Locale.ROOT);
      if (lower.startsWith("content-length:")) {
        length = Long.parseLong(lower.substring(15).strip());
      }
      if (lower.startsWith("connection:") && lower.contains("close")) {
        goesOn = false;
      }
    }
    if (status == 100) {
      return answer();
    }
    if (length > 0 && goesOn && !wasHead) {
      in.skipNBytes(length);
    }
    return new Answer(status, goesOn && (length >= 0 || wasHead));
  }

  private String line() throws IOException {
    StringBuilder line = new StringBuilder();
    for (int b = in.read(); b >= 0 && b != '\n'; b = in.read()) {
      if (b != '\r') {
        line.append((char) b);
      }
    }
    return line.toString();
  }

  private byte[] request() {
    String method = random.nextInt(3) > 0 ? METHODS.get(random.nextInt(4)) : any(METHODS);
    wasHead = method.equals("HEAD");
    StringBuilder head = new StringBuilder(method).append(' ').append(any(PATHS));
    for (int bits = random.nextInt(3); bits > 0; bits--) {
      head.insert(method.length() + 1 + random.nextInt(head.length() - method.length()), any(BITS));
    }
    whole = head.indexOf("\n") < 0 && head.indexOf("\r") < 0 && head.indexOf("\0") < 0;
    String version = random.nextInt(10) > 0 ? " HTTP/1.1\r\n" : any(VERSIONS);
    whole &= version.endsWith("\n");
    head.append(version);
    if (random.nextInt(8) > 0) {
      head.append("Host: localhost\r\n");
    }
    for (int headers = random.nextInt(4); headers > 0; headers--) {
      String header = any(HEADERS);
      whole &= !header.contains("ength") && !header.startsWith("T") && !header.startsWith("Exp");
      head.append(header).append("\r\n");
    }
    String body = random.nextInt(2) > 0 ? "" : body();
    if (!body.isEmpty()) {
      if (random.nextInt(8) > 0) {
        head.append("Content-Type: application/json\r\nContent-Length: ");
        head.append(body.length()).append("\r\n");
      } else {
        whole = false;
      }
    }
    byte[] bytes = (head + "\r\n" + body).getBytes(ISO_8859_1);
    if (random.nextInt(6) == 0) {
      for (int flips = 1 + random.nextInt(4); flips > 0; flips--) {
        bytes[random.nextInt(bytes.length)] ^= (byte) (1 << random.nextInt(8));
      }
      whole = false;
    }
    if (random.nextInt(50) == 0) {
      whole = false;
      return Arrays.copyOf(bytes, random.nextInt(bytes.length) + 1);
    }
    return bytes;
  }

  private String body() {
    StringBuilder body = new StringBuilder(JSON);
    for (int changes = random.nextInt(4); changes > 0; changes--) {
      int at = random.nextInt(body.length());
      if (random.nextBoolean()) {
        body.insert(at, any(BITS));
      } else {
        body.delete(at, Math.min(body.length(), at + 1 + random.nextInt(10)));
      }
    }
    return body.toString();
  }

  private <T> T any(List<T> of) {
    return of.get(random.nextInt(of.size()));
  }

  @Override
  public void close() throws IOException {
    socket.close();
  }
}
