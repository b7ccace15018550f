// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static opercle.analysis.book.Alarms.FARM;
import static opercle.analysis.book.Alarms.T0;
import static opercle.analysis.book.Alarms.raised;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import java.time.Duration;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.IntStream;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.book.PostgresServer.Patience;
import opercle.ingest.LocalPostgres;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** A book on a server that is killed, or hangs. */
class PostgresOutageTest {

  private static final Duration SECOND = Duration.ofSeconds(1);
  private static final Duration LONG = Duration.ofSeconds(60);

  private LocalPostgres postgres;
  private FarmBook book;

  @BeforeEach
  void start() throws Exception {
    postgres = LocalPostgres.start();
    book =
        FarmBook.open(
            new PostgresServer(
                BookKind.of(postgres, postgres.newDatabase()),
                new Patience(SECOND, SECOND.multipliedBy(2), SECOND, SECOND.multipliedBy(5))));
  }

  @AfterEach
  void end() {
    book.close();
    postgres.close();
  }

  private List<AlarmEvent> everything() {
    return new AlarmRecords(book, FARM).between(T0, T0.plusSeconds(10_000_000));
  }

  /** Those who read look for a server that has been away every few seconds only. */
  private List<AlarmEvent> everythingOnceItCanBeRead() {
    return await()
        .atMost(LONG)
        .ignoreExceptionsInstanceOf(BookException.class)
        .until(this::everything, there -> !there.isEmpty());
  }

  private static void write(FarmBook book, AlarmEvent event) {
    int unused =
        book.write(
            "take an event",
            connection -> {
              AlarmTable.add(connection, FARM, List.of(event));
              return 1;
            });
  }

  /** Kills it at whatever a thread that writes without end is just doing. */
  @Test
  void killedInTheMiddleOfWriting_hasAllThatItTook_once_andIsWrittenAgainByItself()
      throws Exception {
    Set<Integer> taken = new HashSet<>();
    int next = 0;
    for (int round = 1; round <= 5; round++) {
      int before = taken.size();
      Thread killer =
          new Thread(
              () -> {
                try {
                  await().atMost(LONG).until(() -> sizeOf(taken) >= before + 20);
                  postgres.kill();
                } catch (InterruptedException e) {
                  Thread.currentThread().interrupt();
                }
              });
      killer.start();
      boolean refused = false;
      while (!refused) {
        try {
          write(book, raised("h1", next));
          synchronized (taken) {
            taken.add(next);
          }
        } catch (BookException e) {
          refused = true; // of this one nobody knows: it may be there
        }
        next++;
      }
      killer.join();
      assertThatThrownBy(() -> write(book, raised("h2", 0))).isInstanceOf(BookException.class);
      postgres.restart();
      write(book, raised("h1", next));
      taken.add(next++);
    }
    List<AlarmEvent> there = everythingOnceItCanBeRead();
    assertThat(there).doesNotHaveDuplicates();
    assertThat(there).containsAll(taken.stream().map(i -> raised("h1", i)).toList());
    assertThat(there.size()).isBetween(taken.size(), taken.size() + 5);
    assertThat(taken).hasSizeGreaterThanOrEqualTo(100);
  }

  private static int sizeOf(Set<Integer> set) {
    synchronized (set) {
      return set.size();
    }
  }

  @Test
  void history_waitsWhileTheServerIsKilled_andIsWholeAfterwards_inItsOrder() throws Exception {
    List<AlarmEvent> told = IntStream.range(0, 90).mapToObj(i -> raised("h1", i)).toList();
    try (AlarmHistory history = new AlarmHistory(book, FARM)) {
      history.events(told.subList(0, 30));
      await().atMost(LONG).until(() -> history.pending().isEmpty());
      postgres.kill();
      told.subList(30, 60).forEach(event -> history.events(List.of(event)));
      await()
          .atMost(LONG)
          .untilAsserted(
              () ->
                  assertThat(history.trouble().orElse(""))
                      .contains("the database server", "30 events wait"));
      postgres.restart();
      await().atMost(LONG).until(() -> history.pending().isEmpty());
      assertThat(history.trouble()).isEmpty();
      history.events(told.subList(60, 90));
    }
    assertThat(everythingOnceItCanBeRead()).isEqualTo(told);
  }

  @Test
  void serverThatHangs_isGivenUp_andReadersAreToldAtOnce_untilItGoesOn() throws Exception {
    write(book, raised("h1", 1));
    postgres.freeze();
    try {
      assertGivenUp(() -> write(book, raised("h1", 2)));
      assertGivenUp(book::requireAnswer);
      assertGivenUp(this::everything);
      // From now on it is known, and most of those who ask wait for nothing.
      long begun = System.nanoTime();
      for (int page = 0; page < 50; page++) {
        assertThatThrownBy(this::everything).isInstanceOf(BookException.class);
      }
      assertThat(Duration.ofNanos(System.nanoTime() - begun)).isLessThan(Duration.ofSeconds(10));
    } finally {
      postgres.thaw();
    }
    assertThat(everythingOnceItCanBeRead()).startsWith(raised("h1", 1));
    write(book, raised("h1", 3));
    assertThat(everything()).startsWith(raised("h1", 1)).endsWith(raised("h1", 3));
  }

  private static void assertGivenUp(Runnable asking) {
    long begun = System.nanoTime();
    assertThatThrownBy(asking::run)
        .isInstanceOf(BookException.class)
        .hasMessageContaining("the database server");
    assertThat(Duration.ofNanos(System.nanoTime() - begun)).isLessThan(Duration.ofSeconds(15));
  }
}
