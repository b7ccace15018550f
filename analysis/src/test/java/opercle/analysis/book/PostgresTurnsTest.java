// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static opercle.analysis.book.Alarms.FARM;
import static opercle.analysis.book.Alarms.raised;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.LongStream;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.trip.MadeTrip;
import opercle.ingest.ChildJvm;
import opercle.ingest.LocalPostgres;
import org.junit.jupiter.api.Test;

/** Several processes that write one book on a server at the same time. */
class PostgresTurnsTest {

  private static final int EACH = 25;

  /** Writes some of everything that is numbered. */
  private static int write(FarmBook book, String who) {
    TripRecords trips = new TripRecords(book, FARM);
    RecordBook records = new RecordBook(book, FARM);
    MappingRecords mappings = new MappingRecords(book);
    for (int i = 0; i < EACH; i++) {
      String tank = who + "-" + i;
      List<opercle.analysis.alarm.AlarmEvent> events = List.of(raised(tank, 1), raised(tank, 2));
      int unused =
          book.write(
              "take alarms",
              connection -> {
                AlarmTable.add(connection, FARM, events);
                return 2;
              });
      trips.begin(MadeTrip.loaded(MadeTrip.night("trip-" + tank)));
      Entry water =
          EntryFields.read(Entry.Kind.WATER, Map.of("name", "Stew " + tank, "type", "pond"));
      assertThat(records.keep("water-" + tank, who, Instant.EPOCH, Optional.empty(), water))
          .isInstanceOf(RecordBook.Outcome.Kept.class);
      mappings.takeBack("shed/" + tank, "", who, Instant.EPOCH);
    }
    return EACH;
  }

  /** The other process. */
  static final class Writer {
    private Writer() {}

    public static void main(String[] arguments) {
      BookServer server =
          new BookServer(
              "127.0.0.1",
              Integer.parseInt(arguments[0]),
              arguments[1],
              LocalPostgres.USER,
              Optional.of(LocalPostgres.PASSWORD),
              false,
              Optional.empty());
      try (FarmBook book = FarmBook.open(BookPlace.server(server))) {
        System.out.println("ready");
        System.out.println("wrote " + write(book, "child"));
      }
    }
  }

  private static List<Long> numbers(FarmBook book, String table) {
    return book.read(
        "be counted",
        connection -> {
          try (var select = connection.createStatement();
              var row = select.executeQuery("SELECT number FROM " + table + " ORDER BY number")) {
            List<Long> numbers = new ArrayList<>();
            while (row.next()) {
              numbers.add(row.getLong(1));
            }
            return numbers;
          }
        });
  }

  @Test
  void numbersOfTwoProcesses_haveNeitherGapsNorDoubles() throws Exception {
    LocalPostgres postgres = LocalPostgres.shared();
    String database = postgres.newDatabase();
    BookPlace place = BookPlace.server(BookKind.of(postgres, database));
    ExecutorService threads = Executors.newFixedThreadPool(2);
    // Both bring the empty database to the present form, too.
    try (ChildJvm child = ChildJvm.start(Writer.class, String.valueOf(postgres.port()), database);
        FarmBook first = FarmBook.open(place);
        FarmBook second = FarmBook.open(place)) {
      String unused = child.awaitLine("ready"::equals, Duration.ofSeconds(60));
      List<Callable<Integer>> both =
          List.of(() -> write(first, "first"), () -> write(second, "second"));
      for (Future<Integer> written : threads.invokeAll(both)) {
        assertThat(written.get()).isEqualTo(EACH);
      }
      assertThat(child.awaitLine(l -> l.startsWith("wrote "), Duration.ofSeconds(60)))
          .isEqualTo("wrote " + EACH);

      List<Long> all = LongStream.rangeClosed(1, 3 * EACH).boxed().toList();
      assertThat(numbers(first, "trip_entry")).isEqualTo(all);
      assertThat(numbers(first, "record_entry")).isEqualTo(all);
      assertThat(numbers(first, "topic_mapping")).isEqualTo(all);
      assertThat(numbers(first, "alarm_event"))
          .isEqualTo(LongStream.rangeClosed(1, 6 * EACH).boxed().toList());
    } finally {
      threads.shutdownNow();
    }
  }
}
