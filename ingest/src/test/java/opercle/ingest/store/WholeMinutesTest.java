// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.read.ListAppender;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.URI;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.LongStream;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.slf4j.LoggerFactory;

/** What is asked of InfluxDB before minutes that a spool does not have whole are sent. */
class WholeMinutesTest {

  private static final Series OXYGEN = new Series("h1", Quantity.OXYGEN, "1");

  private static final Logger LOGGER = (Logger) LoggerFactory.getLogger(WholeMinutes.class);

  private final ListAppender<ILoggingEvent> log = new ListAppender<>();
  private final List<Long> asked = new ArrayList<>();
  private final Set<Long> refused = new HashSet<>();
  private final WholeMinutes minutes = new WholeMinutes(this::answer);

  @BeforeEach
  void listen() {
    log.start();
    LOGGER.setLevel(Level.WARN); // the tests are quiet
    LOGGER.setAdditive(false);
    LOGGER.addAppender(log);
  }

  @AfterEach
  void leave() {
    LOGGER.detachAppender(log);
    LOGGER.setAdditive(true);
    LOGGER.setLevel(null);
  }

  private static Unsent minute(long minute, boolean isWhole) {
    return new Unsent(1, OXYGEN, minute, List.of(), Optional.empty(), isWhole, false);
  }

  private static List<Unsent> unknown(long from, long to) {
    return LongStream.range(from, to).mapToObj(m -> minute(m, false)).toList();
  }

  private Unsent answer(Unsent item) {
    asked.add(item.minute());
    if (refused.contains(item.minute())) {
      throw new ReadRefusedException("HTTP 500, timeout");
    }
    return minute(item.minute(), true);
  }

  private List<Long> whole(List<Unsent> waiting) {
    asked.clear();
    return minutes.of(waiting).stream().filter(Unsent::isWhole).map(Unsent::minute).toList();
  }

  @Test
  void minuteThatIsNotAnsweredFor_goesAsItIs_andTheOthersAreAskedFor() {
    refused.addAll(Set.of(0L, 2L));
    assertThat(whole(unknown(0, 5))).containsExactly(1L, 3L, 4L);
    assertThat(asked).hasSize(5);
  }

  @Test
  void afterTwoInARow_nothingMoreIsAsked_untilTheNextHelping() {
    refused.addAll(Set.of(1L, 2L));
    assertThat(whole(unknown(0, 100))).containsExactly(0L);
    assertThat(asked).containsExactly(0L, 1L, 2L);
    assertThat(whole(unknown(3, 6))).containsExactly(3L, 4L, 5L);
  }

  @Test
  void wholeMinutes_areNotAskedFor() {
    assertThat(whole(List.of(minute(1, true), minute(2, false)))).containsExactly(1L, 2L);
    assertThat(asked).containsExactly(2L);
  }

  @Test
  void refusal_isSaidOnce_andAgainOnlyAfterAllWasAnswered() {
    refused.addAll(Set.of(0L, 2L, 10L, 30L));
    whole(unknown(0, 5));
    whole(unknown(8, 12));
    assertThat(log.list).hasSize(1);
    whole(List.of(minute(12, true))); // nothing was asked: that proves nothing
    whole(unknown(10, 11));
    assertThat(log.list).hasSize(1);
    whole(unknown(20, 22));
    whole(unknown(30, 31));
    assertThat(log.list).hasSize(2);
  }

  @Test
  void whileInfluxIsAway_allWaits() {
    WholeMinutes away =
        new WholeMinutes(
            item -> {
              throw new StoreException("away");
            });
    assertThatExceptionOfType(StoreException.class).isThrownBy(() -> away.of(unknown(0, 2)));
  }

  /** A question that always takes too long must not hold up what waits to be sent. */
  @Test
  void twoQuestionsThatAreNotAnsweredInTime_areBothAsked_andTheRestGoesAsItIs() throws Exception {
    try (SlowToAnswer influx = new SlowToAnswer(Integer.MAX_VALUE)) {
      WholeMinutes asking = asking(influx.query(Duration.ZERO));

      assertThat(asking.of(unknown(0, 100))).noneMatch(Unsent::isWhole);

      assertThat(influx.asked).hasValue(2);
      assertThat(log.list).hasSize(1);
    }
  }

  /** What is repeated while it is left alone was not asked: these minutes must not be given up. */
  @Test
  void timeOutOfAnotherQuestion_isNoReasonToLetMinutesGo() throws Exception {
    try (SlowToAnswer influx = new SlowToAnswer(1)) {
      InfluxQuery ofPages = influx.query(Duration.ofHours(1));
      assertThatExceptionOfType(ReadTimedOutException.class)
          .isThrownBy(() -> ofPages.ask(place(), "SELECT 1"));

      WholeMinutes sharing = asking(ofPages);
      assertThatExceptionOfType(StoreException.class)
          .as("it waits")
          .isThrownBy(() -> sharing.of(unknown(0, 1000)));
      assertThat(influx.asked).hasValue(1);

      List<Unsent> made = asking(influx.query(Duration.ZERO)).of(unknown(0, 50));
      assertThat(made).hasSize(50).allMatch(Unsent::isWhole);
      assertThat(log.list).isEmpty();
    }
  }

  private static WholeMinutes asking(InfluxQuery query) {
    return new WholeMinutes(
        item -> {
          var unused = query.ask(place(), "SELECT 1");
          return minute(item.minute(), true);
        });
  }

  private static InfluxSettings.Place place() {
    return InfluxSettings.Place.of("opercle", "opercle");
  }

  /** A server that leaves its first questions without an answer, and answers the others well. */
  private static final class SlowToAnswer implements AutoCloseable {

    private static final String ANSWER =
        "HTTP/1.1 200 OK\r\nContent-Length: 16\r\nConnection: close\r\n\r\n{\"results\":[{}]}";

    final AtomicInteger asked = new AtomicInteger();
    private final int unanswered;
    private final ServerSocket server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    private final List<Socket> silent = new ArrayList<>(); // so that they stay open

    SlowToAnswer(int unanswered) throws IOException {
      this.unanswered = unanswered;
      Thread thread = new Thread(this::serve, "slow-to-answer");
      thread.setDaemon(true);
      thread.start();
    }

    private void serve() {
      try {
        while (true) {
          Socket socket = server.accept();
          BufferedReader request =
              new BufferedReader(new InputStreamReader(socket.getInputStream(), UTF_8));
          String line = request.readLine();
          while (line != null && !line.isEmpty()) {
            line = request.readLine();
          }
          if (asked.incrementAndGet() <= unanswered) {
            silent.add(socket);
          } else {
            socket.getOutputStream().write(ANSWER.getBytes(UTF_8));
            socket.close();
          }
        }
      } catch (IOException e) {
        // it was closed
      }
    }

    InfluxQuery query(Duration leftAlone) {
      URI url = URI.create("http://127.0.0.1:" + server.getLocalPort());
      return new InfluxQuery(
          new InfluxSettings(url, "-", place(), place(), Optional.empty(), Optional.empty()),
          Duration.ofSeconds(2), // in which a connection is made on any machine
          leftAlone);
    }

    @Override
    public void close() throws IOException {
      server.close();
    }
  }
}
