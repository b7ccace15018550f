// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import opercle.ingest.ChildJvm;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** An InfluxDB that comes and goes, and an Opercle that is killed: everything there, once. */
class SpooledReadingsTest {

  static final long ROOM = 1L << 30;

  private static final Duration PATIENCE = Duration.ofSeconds(90);
  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  private static final Series OXYGEN = new Series("h1", Quantity.OXYGEN, "1");

  @TempDir Path folder;

  /** A port that nobody listens to. */
  private static InfluxSettings nowhere() {
    InfluxSettings.Place place = InfluxSettings.Place.of("opercle", "opercle");
    return new InfluxSettings(
        URI.create("http://127.0.0.1:9"), "-", place, place, Optional.empty(), Optional.empty());
  }

  private SpooledReadings open(InfluxSettings settings, long mostBytes) {
    return SpooledReadings.open(
        settings,
        new SpooledReadings.Spool(folder.resolve("spool.db"), Duration.ofDays(2), mostBytes),
        InstantSource.system());
  }

  private static void awaitSent(SpooledReadings store) {
    await()
        .atMost(PATIENCE)
        .pollInterval(Duration.ofMillis(20))
        .until(() -> store.state().waitingSince().isEmpty());
  }

  private static List<Reading> seconds(int from, int to) {
    return IntStream.range(from, to)
        .mapToObj(
            s -> new Reading("h1", Quantity.OXYGEN, "1", START.plusSeconds(s), s % 977 / 100.0))
        .toList();
  }

  @Test
  void withoutInflux_readingsAreKeptAndReadAndTheTroubleIsSaid() {
    try (SpooledReadings store = open(nowhere(), ROOM)) {
      store.accept(seconds(0, 600));

      await().atMost(PATIENCE).until(() -> store.state().away().isPresent());
      assertThat(store.state().waitingSince()).contains(START);
      assertThat(store.range(OXYGEN, START.plusSeconds(60), START.plusSeconds(600))).hasSize(540);
      assertThat(store.newest(OXYGEN)).contains(seconds(599, 600).get(0));
      assertThat(store.series()).containsExactly(OXYGEN);
      // What is here is drawn; who wants every reading of longer ago is told why not.
      assertThat(store.buckets(OXYGEN, START.minusSeconds(600), START.plusSeconds(600), 20))
          .hasSize(10);
      assertThatThrownBy(() -> store.range(OXYGEN, START.minusSeconds(600), START.plusSeconds(60)))
          .isInstanceOf(StoreException.class)
          .hasMessageContaining("InfluxDB at http://127.0.0.1:9 does not answer");
    }
  }

  /** The pages may ask before anything is sent, and so before that could go wrong. */
  @Test
  void withoutInflux_whatIsHereIsDrawn_beforeSendingFailed() {
    try (SpooledReadings store = open(nowhere(), ROOM)) {
      assertThat(store.buckets(OXYGEN, START, START.plusSeconds(600), 20)).isEmpty();
      assertThat(store.state().away()).isEmpty();
    }
  }

  @Test
  void influxKilledWhileReadingsCome_hasThemAllOnceWhenItIsBack() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder);
        SpooledReadings store = open(influx.settings(), ROOM)) {
      for (int s = 0; s < 9_000; s += 50) {
        if (s == 3_000) {
          influx.kill();
        }
        store.accept(seconds(s, s + 50));
      }
      await().atMost(PATIENCE).until(() -> store.state().away().isPresent());
      assertThat(store.range(OXYGEN, START.plusSeconds(60), START.plusSeconds(9_000)))
          .isEqualTo(seconds(60, 9_000));

      influx.restart();
      store.accept(seconds(9_000, 9_100));
      awaitSent(store);

      assertThat(influx.points("opercle_reading")).isEqualTo(9_100);
      assertThat(influx.points("opercle_minute")).isEqualTo(152);
      InfluxReadings there = new InfluxReadings(influx.settings());
      assertThat(there.range(OXYGEN, START, START.plusSeconds(9_100))).isEqualTo(seconds(0, 9_100));
      assertThat(there.buckets(OXYGEN, START, START.plusSeconds(9_120), 152))
          .extracting(Bucket::count)
          .startsWith(60L, 60L)
          .endsWith(60L, 40L);
      assertThat(store.state().away()).isEmpty();
      assertThat(store.state().givenUp()).isEmpty();
    }
  }

  @Test
  void whatLeftTheSpool_isReadOutOfInflux_andDrawnTogetherWithTheRest() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder);
        SpooledReadings store = open(influx.settings(), ROOM)) {
      store.accept(seconds(0, 7_200));
      awaitSent(store);
      try (SqliteReadings later = SqliteReadings.openSpool(folder.resolve("spool.db"))) {
        assertThat(later.deleteSomeSent(OXYGEN, START.plusSeconds(3_630), 1_000_000))
            .isEqualTo(3_600);
      }

      assertThat(store.range(OXYGEN, START, START.plusSeconds(7_200))).isEqualTo(seconds(0, 7_200));
      List<Bucket> parts = store.buckets(OXYGEN, START, START.plusSeconds(7_200), 7);
      assertThat(parts).hasSize(7);
      assertThat(parts.stream().mapToLong(Bucket::count).sum()).isEqualTo(7_200);
      assertThat(store.buckets(OXYGEN, START, START.plusSeconds(7_200), 120))
          .hasSize(120)
          .allMatch(b -> b.count() == 60);
      try (ReadingStore pages =
          SpooledReadings.openReadOnly(influx.settings(), folder.resolve("spool.db"), false)) {
        assertThat(pages.range(OXYGEN, START, START.plusSeconds(7_200))).hasSize(7_200);
        influx.kill();
        assertThat(pages.series()).containsExactly(OXYGEN);
        assertThat(pages.range(OXYGEN, START.plusSeconds(3_600), START.plusSeconds(7_200)))
            .hasSize(3_600);
        assertThatThrownBy(() -> pages.buckets(OXYGEN, START, START.plusSeconds(7_200), 120))
            .isInstanceOf(StoreException.class);
      }
    }
  }

  /** The child says what the spool has taken; both it and InfluxDB are killed in the middle. */
  @Test
  void opercleAndInfluxKilled_nothingThatWasAcknowledgedIsLostAndNothingIsThereTwice()
      throws Exception {
    Path killed = folder.resolve("killed.db");
    try (LocalInflux influx = LocalInflux.start(folder)) {
      int said = runUntilKilled(influx, killed, 0, 40);
      influx.kill();
      said = runUntilKilled(influx, killed, said + 1, said + 40);
      influx.restart();
      said = runUntilKilled(influx, killed, said + 1, said + 40);

      try (SpooledReadings store =
          SpooledReadings.open(
              influx.settings(),
              new SpooledReadings.Spool(killed, Duration.ofDays(2), ROOM),
              InstantSource.system())) {
        awaitSent(store);
        List<Reading> there =
            new InfluxReadings(influx.settings())
                .range(OXYGEN, START, START.plus(Duration.ofDays(3_000)));
        List<Reading> acknowledged = seconds(0, (said + 1) * Writer.BATCH);
        assertThat(there).startsWith(acknowledged.toArray(Reading[]::new));
        assertThat(there)
            .as("whole batches")
            .hasSizeLessThanOrEqualTo(acknowledged.size() + Writer.BATCH);
        assertThat(influx.points("opercle_reading")).isEqualTo(there.size());
        long counted =
            new InfluxReadings(influx.settings())
                .buckets(OXYGEN, START, START.plus(Duration.ofDays(300)), 300).stream()
                    .mapToLong(Bucket::count)
                    .sum();
        assertThat(counted).as("counted by minute").isEqualTo(there.size());
      }
    }
  }

  private static int runUntilKilled(LocalInflux influx, Path spool, int first, int until)
      throws Exception {
    int said;
    try (ChildJvm child =
        ChildJvm.start(
            Writer.class, spool.toString(), influx.url().toString(), String.valueOf(first))) {
      said =
          Integer.parseInt(child.awaitLine(line -> number(line) >= until, Duration.ofSeconds(60)));
      child.kill();
      for (String line : child.remainingLines()) {
        said = Math.max(said, number(line));
      }
    }
    return said;
  }

  private static int number(String line) {
    return line.matches("\\d+") ? Integer.parseInt(line) : -1;
  }

  /** Runs in a JVM of its own until it is killed. */
  static final class Writer {
    static final int BATCH = 120;

    public static void main(String[] args) {
      InfluxSettings.Place place =
          InfluxSettings.Place.of(LocalInflux.DATABASE, LocalInflux.DATABASE);
      InfluxSettings settings =
          new InfluxSettings(
              URI.create(args[1]),
              "-",
              place,
              place,
              Optional.of(LocalInflux.TOKEN),
              Optional.empty());
      try (SpooledReadings store =
          SpooledReadings.open(
              settings,
              new SpooledReadings.Spool(Path.of(args[0]), Duration.ofDays(2), ROOM),
              InstantSource.system())) {
        for (int batch = Integer.parseInt(args[2]); batch < 1_000_000; batch++) {
          store.accept(seconds(batch * BATCH, (batch + 1) * BATCH));
          System.out.println(batch);
        }
      }
    }
  }

  /** Hours of twenty probes at once a second into a spool for a part of them. */
  @Test
  void longOutage_keepsTheDiskBoundedAndEveryDip() throws Exception {
    long bound = 4L << 20;
    int hours = 6;
    int probes = 20;
    try (SpooledReadings store = open(nowhere(), bound)) {
      for (int s = 0; s < hours * 3600; s += 30) {
        List<Reading> batch = new ArrayList<>();
        for (int i = s; i < s + 30; i++) {
          for (int p = 0; p < probes; p++) {
            double value = i % 1200 == 7 * p ? 2.5 : 8.0 + i % 60 / 100.0;
            batch.add(new Reading("h" + p, Quantity.OXYGEN, "1", START.plusSeconds(i), value));
          }
        }
        store.accept(batch);
        if (s % 3600 == 0) {
          assertThat(bytes("spool.db")).isLessThan(bound + bound / 8);
          assertThat(bytes("spool.db-wal")).as("SQLite's journal").isLessThan(12L << 20);
        }
      }
      assertThat(store.state().givenUp())
          .anyMatch(g -> g.what() == GivenUp.What.THINNED && g.readings() > 100_000)
          .noneMatch(g -> g.what() == GivenUp.What.LOST);
      Series series = new Series("h3", Quantity.OXYGEN, "1");
      Instant from = START.plusSeconds(60);
      assertThat(
              store.buckets(series, from, START.plusSeconds(hours * 3600L), hours * 60 - 1).stream()
                  .filter(b -> b.min() == 2.5)
                  .count())
          .as("dips of one second")
          .isEqualTo(hours * 3L - 1);
      assertThat(store.buckets(series, from, START.plusSeconds(hours * 3600L), hours * 60 - 1))
          .allMatch(b -> b.count() == 60);
    }

    try (LocalInflux influx = LocalInflux.start(folder);
        SpooledReadings store = open(influx.settings(), bound)) {
      awaitSent(store);
      assertThat(influx.points("opercle_minute")).isEqualTo(hours * 60L * probes);
      InfluxReadings there = new InfluxReadings(influx.settings());
      Series series = new Series("h3", Quantity.OXYGEN, "1");
      List<Bucket> parts =
          there.buckets(series, START, START.plusSeconds(hours * 3600L), hours * 60);
      assertThat(parts).hasSize(hours * 60).allMatch(b -> b.count() == 60);
      assertThat(parts.stream().filter(b -> b.min() == 2.5)).hasSize(hours * 3);
      assertThat(parts.get(1).mean()).isCloseTo(8.295, within(0.1));
    }
  }

  private long bytes(String name) throws IOException {
    return Files.size(folder.resolve(name));
  }

  @Test
  void lateReadingOfLongAgo_completesItsMinuteInInflux() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder)) {
      try (SpooledReadings store = open(influx.settings(), ROOM)) {
        store.accept(seconds(0, 120));
        awaitSent(store);
      }
      Files.delete(folder.resolve("spool.db")); // another machine's, or one that was lost

      try (SpooledReadings store = open(influx.settings(), ROOM)) {
        Instant late = START.plusMillis(90_500);
        store.accept(List.of(new Reading("h1", Quantity.OXYGEN, "1", late, -1.0)));
        store.accept(seconds(100, 110)); // and some again
        awaitSent(store);

        List<Bucket> minutes =
            new InfluxReadings(influx.settings()).buckets(OXYGEN, START, START.plusSeconds(120), 2);
        assertThat(minutes).extracting(Bucket::count).containsExactly(60L, 61L);
        assertThat(minutes.get(1).min()).isEqualTo(-1.0);
        assertThat(store.range(OXYGEN, START, START.plusSeconds(120))).hasSize(121);
      }
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "-unauthorized", "-policy"})
  void tokenThatOnlyWrites_sendsAllReadings_andLeavesAMinuteThatItDoesNotKnowAsItIs(String how)
      throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder)) {
      try (SpooledReadings store = open(influx.settings(), ROOM)) {
        store.accept(seconds(0, 120));
        awaitSent(store);
      }
      Files.delete(folder.resolve("spool.db"));

      try (SpooledReadings store = open(influx.settingsToWrite(how), ROOM)) {
        store.accept(seconds(90, 100)); // some that are there,
        store.accept(seconds(120, 240)); // and two minutes that none had before
        awaitSent(store);
        assertThat(store.state().away()).isEmpty();
        assertThat(influx.points("opercle_reading")).isEqualTo(240);
        assertThat(
                new InfluxReadings(influx.settings())
                    .buckets(OXYGEN, START, START.plusSeconds(240), 4))
            .extracting(Bucket::count)
            .containsExactly(60L, 60L, 60L, 60L);
      }
    }
  }

  @Test
  void whileInfluxIsTooBusyToRead_whatNeedsThatWaits() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder)) {
      try (SpooledReadings store = open(influx.settings(), ROOM)) {
        store.accept(seconds(0, 60));
        awaitSent(store);
      }
      Files.delete(folder.resolve("spool.db"));
      try (SpooledReadings store = open(influx.settingsToWrite("-unavailable"), ROOM)) {
        store.accept(seconds(30, 31));
        await().atMost(PATIENCE).until(() -> store.state().away().toString().contains("HTTP 503"));
      }
      try (SpooledReadings store = open(influx.settings(), ROOM)) {
        awaitSent(store);
        assertThat(influx.countedInMinutes("")).isEqualTo(60);
      }
    }
  }

  @Test
  void whatInfluxWillNeverTake_doesNotHoldUpTheRest() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder)) {
      var unused =
          influx.query(
              "", "ALTER RETENTION POLICY autogen ON opercle DURATION 1h SHARD DURATION 1h");
      Instant now = Instant.now();
      try (SpooledReadings store = open(influx.settings(), ROOM)) {
        store.accept(seconds(0, 180)); // of longer ago than it keeps
        store.accept(List.of(new Reading("h1", Quantity.OXYGEN, "1", now, 8.0)));
        awaitSent(store);
        assertThat(influx.points("opercle_reading")).isEqualTo(1);
        assertThat(store.state().givenUp())
            .singleElement()
            .matches(g -> g.what() == GivenUp.What.REFUSED && g.readings() == 180);
      }
    }
  }

  @Test
  void databaseThatIsNotThere_isATroubleAndNothingIsGivenUp() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder)) {
      var unused = influx.query("", "DROP DATABASE opercle");
      try (SpooledReadings store = open(influx.settings(), ROOM)) {
        store.accept(seconds(0, 10));
        await().atMost(PATIENCE).until(() -> store.state().away().isPresent());
        assertThat(store.state().away().orElseThrow()).contains("database not found");

        unused = influx.query("", "CREATE DATABASE opercle");
        awaitSent(store);
        assertThat(influx.points("opercle_reading")).isEqualTo(10);
      }
    }
  }
}
