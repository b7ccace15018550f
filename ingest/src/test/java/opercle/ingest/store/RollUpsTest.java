// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Minute by minute must say what the readings say, whatever has happened to them. */
class RollUpsTest {

  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  private static final int MINUTES = 90;
  private static final List<Series> SERIES =
      List.of(
          new Series("h1", Quantity.OXYGEN, "1"),
          new Series("h1", Quantity.OXYGEN, "2"),
          new Series("h2", Quantity.TEMPERATURE, "1"));

  @TempDir Path folder;
  private final Map<Series, TreeMap<Instant, Reading>> accepted = new HashMap<>();
  private final Map<Series, Instant> trimmed = new HashMap<>();

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
  void partsOfWholeMinutes_sayWhatTheReadingsSay(long seed) {
    Random random = new Random(seed);
    try (SqliteReadings store = SqliteReadings.open(file())) {
      for (int step = 0; step < 40; step++) {
        accept(store, batch(random));
        if (random.nextInt(8) == 0) {
          deleteSome(store, random);
        }
        compare(store, random);
      }
    }
  }

  @Test
  void storeOfBefore_isDrawnFromItsReadings_andRolledUpFromThereOn() throws SQLException {
    Random random = new Random(77);
    try (SqliteReadings store = SqliteReadings.open(file())) {
      for (int i = 0; i < 20; i++) {
        accept(store, batch(random));
      }
    }
    asBeforeRollUps();

    try (SqliteReadings store = SqliteReadings.open(file())) {
      compare(store, random);
      for (int i = 0; i < 20; i++) { // some of it late, from before the change
        accept(store, batch(random));
        accept(store, later(random));
        compare(store, random);
      }
    }
  }

  /** What was not rolled up is when its readings go. */
  @Test
  void storeOfBefore_keepsTheMinutesOfWhatIsDeleted() throws SQLException {
    Random random = new Random(79);
    try (SqliteReadings store = SqliteReadings.open(file())) {
      for (int i = 0; i < 20; i++) {
        accept(store, batch(random));
      }
    }
    asBeforeRollUps();

    try (SqliteReadings store = SqliteReadings.open(file())) {
      for (int i = 0; i < 40; i++) {
        accept(store, batch(random));
        accept(store, later(random));
        deleteSome(store, random);
        compare(store, random);
      }
    }
  }

  private void deleteSome(SqliteReadings store, Random random) {
    Series series = SERIES.get(random.nextInt(SERIES.size()));
    Instant before = START.plusMillis(random.nextInt(MINUTES * 60_000));
    int unused = store.deleteSomeReadings(series, before, 1 + random.nextInt(60));
    trimmed.merge(series, before, (a, b) -> a.isAfter(b) ? a : b);
  }

  /**
   * Takes a batch, and remembers of it what a store must. Not those that come once more after they
   * were deleted, of which no store can know.
   */
  private void accept(SqliteReadings store, List<Reading> all) {
    List<Reading> batch = all.stream().filter(r -> !isForgotten(r)).toList();
    store.accept(batch);
    for (Reading reading : batch) {
      accepted
          .computeIfAbsent(reading.series(), s -> new TreeMap<>())
          .putIfAbsent(reading.time(), reading);
    }
  }

  private boolean isForgotten(Reading reading) {
    return reading.time().isBefore(trimmed.getOrDefault(reading.series(), Instant.MIN))
        && accepted.getOrDefault(reading.series(), new TreeMap<>()).containsKey(reading.time());
  }

  @Test
  void storeThatAnOlderProgramWrites_isReadAsBefore() throws SQLException {
    Random random = new Random(78);
    try (SqliteReadings store = SqliteReadings.open(file())) {
      accept(store, batch(random));
    }
    asBeforeRollUps();

    try (SqliteReadings store = SqliteReadings.openReadOnly(file())) {
      compare(store, random);
    }
  }

  @Test
  void monthAtOneASecond_doesNotReadItsReadings() throws SQLException {
    Series series = SERIES.get(0);
    try (SqliteReadings store = SqliteReadings.open(file())) {
      store.accept(
          List.of(
              new Reading("h1", Quantity.OXYGEN, "1", START, 8.0),
              new Reading("h1", Quantity.OXYGEN, "1", START.plus(Duration.ofDays(29)), 2.5)));
      execute("DELETE FROM reading"); // behind the store's back: who looks there finds nothing

      assertThat(store.buckets(series, START, START.plus(Duration.ofDays(30)), 720))
          .extracting(Bucket::min)
          .containsExactly(8.0, 2.5);
    }
  }

  /** Out of order, twice, twice with another value, before 1970 too. */
  private static List<Reading> batch(Random random) {
    List<Reading> batch = new ArrayList<>();
    for (int i = random.nextInt(80); i >= 0; i--) {
      Series series = SERIES.get(random.nextInt(SERIES.size()));
      int second = random.nextInt(MINUTES * 60);
      Instant time = START.plusMillis(1000L * second + 250L * random.nextInt(4));
      batch.add(reading(series, time, random.nextGaussian() * 3 + 8));
      if (random.nextInt(4) == 0) {
        batch.add(reading(series, time, random.nextGaussian() * 3 + 8));
      }
      if (random.nextInt(20) == 0) {
        batch.add(reading(series, Instant.ofEpochMilli(-random.nextInt(100_000)), 1.0));
      }
    }
    return batch;
  }

  private static List<Reading> later(Random random) {
    return batch(random).stream()
        .map(r -> reading(r.series(), r.time().plus(Duration.ofMinutes(MINUTES / 2)), r.value()))
        .toList();
  }

  private static Reading reading(Series series, Instant time, double value) {
    return new Reading(series.tank(), series.quantity(), series.probe(), time, value);
  }

  /** The store's buckets against those made here from what it was given. */
  private void compare(SqliteReadings store, Random random) {
    Series series = SERIES.get(random.nextInt(SERIES.size()));
    int minutesAPart = 1 + random.nextInt(7);
    int count = 1 + random.nextInt(40);
    Instant from = START.plus(Duration.ofMinutes(random.nextInt(MINUTES) - 20L));
    if (random.nextInt(6) == 0) {
      from = Instant.EPOCH.minus(Duration.ofMinutes(3));
    }
    Instant to = from.plus(Duration.ofMinutes((long) minutesAPart * count));

    List<Bucket> found = store.buckets(series, from, to, count);

    List<Reading> given =
        List.copyOf(accepted.getOrDefault(series, new TreeMap<>()).subMap(from, to).values());
    List<Bucket> expected = fromReadings(given, from, minutesAPart);
    assertThat(found).hasSameSizeAs(expected);
    for (int i = 0; i < found.size(); i++) {
      Bucket a = found.get(i);
      Bucket b = expected.get(i);
      assertThat(a.mean()).isCloseTo(b.mean(), within(1e-9));
      assertThat(new Bucket(a.start(), a.end(), a.min(), a.max(), b.mean(), a.count()))
          .isEqualTo(b);
    }
  }

  private static List<Bucket> fromReadings(List<Reading> readings, Instant from, int minutes) {
    var parts = new TreeMap<Long, List<Double>>();
    for (Reading reading : readings) {
      long part = Duration.between(from, reading.time()).toMillis() / (60_000L * minutes);
      parts.computeIfAbsent(part, p -> new ArrayList<>()).add(reading.value());
    }
    return parts.entrySet().stream()
        .map(
            e ->
                new Bucket(
                    from.plus(Duration.ofMinutes(e.getKey() * minutes)),
                    from.plus(Duration.ofMinutes((e.getKey() + 1) * minutes)),
                    e.getValue().stream().min(Comparator.naturalOrder()).orElseThrow(),
                    e.getValue().stream().max(Comparator.naturalOrder()).orElseThrow(),
                    e.getValue().stream().mapToDouble(v -> v).average().orElseThrow(),
                    e.getValue().size()))
        .toList();
  }

  private void asBeforeRollUps() throws SQLException {
    for (String since : List.of("minute", "unsent", "given_up", "identity")) {
      execute("DROP TABLE " + since);
    }
    execute("ALTER TABLE series DROP COLUMN rolled_from");
    execute("ALTER TABLE series DROP COLUMN kept_from");
    execute("ALTER TABLE series DROP COLUMN trimmed_to");
    execute("PRAGMA user_version = 1");
  }

  private void execute(String sql) throws SQLException {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
        Statement statement = connection.createStatement()) {
      statement.execute(sql);
    }
  }

  private Path file() {
    return folder.resolve("readings.db");
  }
}
