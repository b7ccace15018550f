// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.MissingNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicBoolean;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The live stream over real sockets, with events large enough to fill them. */
class LiveFeedTest {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Duration EVERY = Duration.ofMillis(50);

  /** Long, so that a busy machine's pauses are told from waiting for one who does not read. */
  private static final Duration DRAIN = Duration.ofSeconds(6);

  private static final int LARGE = 300_000;

  @Test
  void reader_getsTheNewestSnapshotAtOnce_thenOneAfterAnother() throws IOException {
    try (var server = start(FakeFarm.troubled(), Duration.ofSeconds(5), 10);
        var reader = new Reader(server.port(), 65_536)) {
      List<JsonNode> first = List.of(reader.next(), reader.next(), reader.next());

      assertThat(first).allSatisfy(e -> assertThat(e.path("tanks")).hasSize(5));
      assertThat(reader.ids).isSorted().doesNotHaveDuplicates();
    }
  }

  @Test
  void nobody_whoReads_waitsForOneWhoNeverDoes() throws Exception {
    try (var server = start(large(), DRAIN, 10);
        var never = new Socket()) {
      never.setReceiveBufferSize(4096);
      never.connect(new InetSocketAddress(InetAddress.getLoopbackAddress(), server.port()));
      ask(never);
      List<Longest> good = new ArrayList<>();
      for (int i = 0; i < 3; i++) {
        good.add(new Longest(new Reader(server.port(), 65_536)));
      }
      await().until(() -> server.listening() == 4);

      await("the one that never reads is let go")
          .atMost(DRAIN.multipliedBy(4))
          .until(() -> server.listening() == 3);

      for (Longest reader : good) {
        assertThat(reader.gap()).isLessThan(DRAIN.dividedBy(2));
        assertThat(reader.events()).isGreaterThan(10);
        reader.stop();
      }
      await("their going is noticed").until(() -> server.listening() == 0);
    }
  }

  @Test
  void reader_whoPauses_getsWholeFrames_withTheOldOnesLeftOut() throws IOException {
    try (var server = start(large(), Duration.ofSeconds(60), 10);
        var reader = new Reader(server.port(), 4096)) {
      reader.next();
      long seen = reader.ids.get(0);
      // What fits into the sockets' buffers is sent; far more than that comes up meanwhile.
      await().atMost(Duration.ofSeconds(20)).until(() -> framesSince(server, seen) > 60);

      while (reader.ids.get(reader.ids.size() - 1) < seen + 60) {
        reader.next(); // parses: no two frames were mixed
      }

      assertThat(reader.ids).isSorted().doesNotHaveDuplicates();
      assertThat(reader.ids.size()).as("frames received of more than 60").isLessThan(55);
    }
  }

  @Test
  void listenerThatComesBack_isToldHowManyItMissed_andSentTheNewest() throws IOException {
    try (var server = start(FakeFarm.quiet(), Duration.ofSeconds(5), 10)) {
      String lastId;
      long had;
      try (var before = new Reader(server.port(), 65_536)) {
        before.next();
        lastId = before.lastId;
        had = before.ids.get(0);
      }
      await().until(() -> framesSince(server, had) > 5);

      for (String where : List.of("GET /live HTTP/1.0\r\nLast-Event-ID: ", "GET /live?after=")) {
        String request = where + lastId + (where.endsWith("=") ? " HTTP/1.0\r\n" : "\r\n");
        try (var again = new Reader(server.port(), 65_536, request)) {
          again.next();

          assertThat(again.greeting.path("is").asText()).isEqualTo("resumed");
          long missed = again.greeting.path("missed").asLong();
          assertThat(missed).isGreaterThan(4);
          assertThat(again.ids.get(0)).isEqualTo(had + missed + 1);
        }
      }
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"otherrun-3", "-", "nonsense", "0-99999999999999999999", "<script>"})
  void listenerOfAnotherRun_isToldThatNothingIsKnown_andSentTheWhole(String lastId)
      throws IOException {
    try (var server = start(FakeFarm.quiet(), Duration.ofSeconds(5), 10);
        var again =
            new Reader(
                server.port(),
                65_536,
                "GET /api/v1/live HTTP/1.0\r\nLast-Event-ID: " + lastId + "\r\n")) {
      assertThat(again.next().path("tanks")).hasSize(5);
      assertThat(again.greeting.toString())
          .isEqualTo("{\"is\":\"restarted\",\"missed\":0,\"everyMs\":50}");
    }
  }

  @Test
  void listener_beyondTheLimit_isToldSo() throws IOException {
    try (var server = start(FakeFarm.quiet(), Duration.ofSeconds(5), 1);
        var first = new Reader(server.port(), 65_536);
        var second = new Socket(InetAddress.getLoopbackAddress(), server.port())) {
      first.next();

      ask(second);

      var answer = new BufferedReader(new InputStreamReader(second.getInputStream(), UTF_8));
      assertThat(answer.readLine()).contains("503");
    }
  }

  @Test
  void close_endsStreamsAndThread() throws IOException {
    var server = start(FakeFarm.quiet(), Duration.ofSeconds(5), 10);
    try (var reader = new Reader(server.port(), 65_536)) {
      reader.next();

      server.close();

      assertThat(reader.endsSoon()).isTrue();
      await()
          .until(
              () ->
                  Thread.getAllStackTraces().keySet().stream()
                      .noneMatch(t -> t.getName().equals("opercle-live") && t.isAlive()));
    }
  }

  private static DashboardServer start(FakeFarm farm, Duration drain, int most) {
    return DashboardServer.start(
        DashboardSettings.onLoopback(0),
        farm,
        new FakeTraces(),
        new LiveFeed.Pace(EVERY, drain, most));
  }

  /** A farm whose snapshot is far larger than a socket's buffer. */
  private static FakeFarm large() {
    var farm =
        new FakeFarm(List.of(FakeFarm.air("h1", "H", 1, FakeFarm.load(Species.ROACH, 1, 1))));
    farm.set(
        FakeFarm.holding("h1", 9, 90, 12, 1, 60),
        new Alarm(
            "h1",
            AlarmCause.WATER_WARM,
            Priority.LOW,
            AlarmState.UNACKNOWLEDGED,
            FakeFarm.NIGHT,
            java.util.Optional.empty(),
            "x".repeat(LARGE)));
    return farm;
  }

  /** The frames sent since one, told by a fresh listener's first event. */
  private static long framesSince(DashboardServer server, long id) {
    try (var fresh = new Reader(server.port(), 65_536)) {
      fresh.next();
      return fresh.ids.get(0) - id;
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  private static void ask(Socket socket) throws IOException {
    ask(socket, "GET /live HTTP/1.0\r\n");
  }

  private static void ask(Socket socket, String request) throws IOException {
    socket.getOutputStream().write((request + "Host: 127.0.0.1\r\n\r\n").getBytes(UTF_8));
  }

  /** Reads events from a socket of its own; HTTP/1.0, so that nothing is chunked. */
  private static final class Reader implements AutoCloseable {

    final List<Long> ids = new CopyOnWriteArrayList<>();
    private final Socket socket = new Socket();
    private final BufferedReader in;
    private String lastId = "";
    private JsonNode greeting = MissingNode.getInstance();

    Reader(int port, int receiveBuffer) throws IOException {
      this(port, receiveBuffer, "GET /live HTTP/1.0\r\n");
    }

    Reader(int port, int receiveBuffer, String request) throws IOException {
      socket.setReceiveBufferSize(receiveBuffer);
      socket.connect(new InetSocketAddress(InetAddress.getLoopbackAddress(), port));
      socket.setSoTimeout(20_000);
      ask(socket, request);
      in = new BufferedReader(new InputStreamReader(socket.getInputStream(), UTF_8), 1024);
    }

    JsonNode next() throws IOException {
      String line = in.readLine();
      boolean greets = false;
      while (line != null && (greets || !line.startsWith("data: "))) {
        if (greets && line.startsWith("data: ")) {
          greeting = JSON.readTree(line.substring(6));
          greets = false;
        } else if (line.equals("event: stream")) {
          greets = true;
        } else if (line.startsWith("id: ")) {
          lastId = line.substring(4);
          ids.add(Long.parseLong(line.substring(line.indexOf('-') + 1)));
        }
        line = in.readLine();
      }
      if (line == null) {
        throw new IOException("the stream has ended");
      }
      return JSON.readTree(line.substring(6));
    }

    boolean endsSoon() {
      try {
        while (true) {
          next();
        }
      } catch (java.net.SocketTimeoutException stillOpen) {
        return false;
      } catch (IOException ended) {
        return true;
      }
    }

    @Override
    public void close() throws IOException {
      socket.close();
    }
  }

  /** Reads on a thread of its own and keeps the longest wait between two events. */
  private static final class Longest {

    private final Reader reader;
    private final AtomicBoolean stopped = new AtomicBoolean();
    private volatile long longestNanos;
    private volatile int events;

    Longest(Reader reader) {
      this.reader = reader;
      var thread = new Thread(this::read, "reader");
      thread.setDaemon(true);
      thread.start();
    }

    private void read() {
      try {
        reader.next();
        long last = System.nanoTime();
        while (!stopped.get()) {
          reader.next();
          long now = System.nanoTime();
          longestNanos = Math.max(longestNanos, now - last);
          last = now;
          events = reader.ids.size();
        }
      } catch (IOException ended) {
        stopped.set(true);
      }
    }

    Duration gap() {
      return Duration.ofNanos(longestNanos);
    }

    int events() {
      return events;
    }

    void stop() throws IOException {
      stopped.set(true);
      reader.close();
    }
  }
}
