// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.awaitility.Awaitility.await;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.Arrays;
import java.util.List;
import java.util.function.IntPredicate;
import java.util.stream.IntStream;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Two spools before one InfluxDB, each with a part of every minute. */
class SharedSpoolsTest {

  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  private static final Series OXYGEN = new Series("h1", Quantity.OXYGEN, "1");
  private static final int SECONDS = 600;

  @TempDir Path folder;

  private SpooledReadings open(LocalInflux influx, String name) {
    return open(influx, name, true);
  }

  private SpooledReadings open(LocalInflux influx, String name, boolean isShared) {
    return SpooledReadings.open(
        influx.settings(),
        new SpooledReadings.Spool(folder.resolve(name + ".db"), Duration.ofDays(2), 1L << 30),
        isShared,
        InstantSource.system());
  }

  /** As its retention does after two days. */
  private void letGo(String name) {
    try (SqliteReadings later = SqliteReadings.openSharedSpool(folder.resolve(name + ".db"))) {
      assertThat(later.deleteSomeSent(OXYGEN, START.plusSeconds(SECONDS), 1_000_000)).isPositive();
    }
  }

  private static double value(int second) {
    return 5.0 + second % 97 / 20.0;
  }

  private static List<Reading> seconds(int from, int to, IntPredicate which) {
    return IntStream.range(from, to)
        .filter(which)
        .mapToObj(s -> new Reading("h1", Quantity.OXYGEN, "1", START.plusSeconds(s), value(s)))
        .toList();
  }

  private static void awaitSent(SpooledReadings... stores) {
    for (SpooledReadings store : stores) {
      await()
          .atMost(Duration.ofSeconds(90))
          .pollInterval(Duration.ofMillis(20))
          .until(() -> store.state().waitingSince().isEmpty());
    }
  }

  /** Every minute as all of its readings make it, whoever is asked. */
  private static void assertMinutesAreWhole(ReadingStore store) {
    List<Bucket> minutes = store.buckets(OXYGEN, START, START.plusSeconds(SECONDS), SECONDS / 60);
    assertThat(minutes).hasSize(SECONDS / 60);
    for (int i = 0; i < minutes.size(); i++) {
      double[] values = IntStream.range(60 * i, 60 * (i + 1)).mapToDouble(s -> value(s)).toArray();
      var expected = Arrays.stream(values).summaryStatistics();
      Bucket minute = minutes.get(i);
      assertThat(minute.count()).isEqualTo(60);
      assertThat(minute.min()).isEqualTo(expected.getMin());
      assertThat(minute.max()).isEqualTo(expected.getMax());
      assertThat(minute.mean()).isCloseTo(expected.getAverage(), within(1e-9));
    }
  }

  @Test
  void twoSpools_minutesAreOfBoth_andEachReadsWhatTheOtherTook() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder);
        SpooledReadings a = open(influx, "a");
        SpooledReadings b = open(influx, "b")) {
      for (int s = 0; s < SECONDS; s += 30) {
        a.accept(seconds(s, s + 30, i -> i % 3 == 0));
        b.accept(seconds(s, s + 30, i -> i % 3 != 0));
      }
      awaitSent(a, b);

      assertThat(influx.points("opercle_reading")).isEqualTo(SECONDS);
      assertMinutesAreWhole(a);
      assertMinutesAreWhole(b);
      assertThat(a.range(OXYGEN, START, START.plusSeconds(SECONDS))).hasSize(SECONDS);
      assertThat(a.newest(OXYGEN).map(Reading::time)).contains(START.plusSeconds(SECONDS - 1));
      try (ReadingStore pages =
          SpooledReadings.openReadOnly(influx.settings(), folder.resolve("none.db"), true)) {
        assertMinutesAreWhole(pages);
        // 7 parts are no whole minutes: out of the readings.
        assertThat(
                pages.buckets(OXYGEN, START, START.plusSeconds(SECONDS), 7).stream()
                    .mapToLong(Bucket::count)
                    .sum())
            .isEqualTo(SECONDS);
      }
    }
  }

  @Test
  void spoolThatIsLostInTheMiddleOfAMinute_doesNotWriteOverWhatItHadWritten() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder);
        SpooledReadings b = open(influx, "b")) {
      try (SpooledReadings a = open(influx, "a")) {
        a.accept(seconds(0, 330, i -> i % 2 == 0));
        b.accept(seconds(0, 330, i -> i % 2 != 0));
        awaitSent(a, b);
      }
      Files.delete(folder.resolve("a.db"));
      try (SpooledReadings a = open(influx, "a")) {
        a.accept(seconds(330, SECONDS, i -> i % 2 == 0));
        b.accept(seconds(330, SECONDS, i -> i % 2 != 0));
        awaitSent(a, b);

        assertMinutesAreWhole(a);
      }
    }
  }

  /** Both send readings of minutes that they have let go, at the same moment, minute by minute. */
  @Test
  void lateReadingsOfTwoAtOnce_countOnceWithWhatEachTookBefore() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder);
        SpooledReadings a = open(influx, "a");
        SpooledReadings b = open(influx, "b")) {
      a.accept(seconds(0, SECONDS, i -> i % 2 == 0 && i % 10 != 2));
      b.accept(seconds(0, SECONDS, i -> i % 2 != 0 && i % 10 != 3));
      awaitSent(a, b);
      letGo("a");
      letGo("b");
      for (int late = 2; late < SECONDS; late += 10) {
        a.accept(seconds(late, late + 1, i -> true));
        b.accept(seconds(late + 1, late + 2, i -> true));
      }
      awaitSent(a, b);

      assertThat(influx.points("opercle_reading")).isEqualTo(SECONDS);
      assertMinutesAreWhole(b);
      // Late once more: the spool knows the whole minute again by now.
      a.accept(List.of(reading(62.5, 4.0)));
      awaitSent(a);
      assertThat(
              b.buckets(OXYGEN, START.plusSeconds(60), START.plusSeconds(120), 1).stream()
                  .mapToLong(Bucket::count)
                  .sum())
          .isEqualTo(61);
    }
  }

  private static Reading reading(double second, double value) {
    return new Reading(
        "h1", Quantity.OXYGEN, "1", START.plusMillis(Math.round(second * 1_000)), value);
  }

  @Test
  void readingThatComesAgainAfterItsMinuteWasLetGo_countsOnce() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder);
        SpooledReadings a = open(influx, "a")) {
      a.accept(seconds(0, SECONDS, i -> i != 62));
      awaitSent(a);
      letGo("a");
      a.accept(seconds(60, 64, i -> true));
      awaitSent(a);

      assertMinutesAreWhole(a);
    }
  }

  /** In the middle of a minute, with readings that wait, to and fro, on the same file. */
  @Test
  void sharingThatIsBegunAndEnded_goesOnWithEachMinuteAsItWasBegun() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder)) {
      boolean isShared = false;
      for (int s = 0; s < SECONDS; s += 50) {
        try (SpooledReadings a = open(influx, "a", isShared)) {
          a.accept(seconds(s, s + 50, i -> true));
          awaitSent(a);
        }
        isShared = !isShared;
      }
      try (SpooledReadings a = open(influx, "a", false)) {
        awaitSent(a);

        assertMinutesAreWhole(a);
        try (ReadingStore pages =
            SpooledReadings.openReadOnly(influx.settings(), folder.resolve("none.db"), true)) {
          assertMinutesAreWhole(pages);
        }
      }
    }
  }

  /** It shares no more, and what others took meanwhile is still there to be seen. */
  @Test
  void sharingThatHasEnded_doesNotHideWhatOthersTook() throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder)) {
      try (SpooledReadings a = open(influx, "a");
          SpooledReadings b = open(influx, "b")) {
        a.accept(seconds(0, SECONDS, i -> i % 2 == 0));
        b.accept(seconds(0, SECONDS, i -> i % 2 != 0));
        awaitSent(a, b);
      }
      try (SpooledReadings a = open(influx, "a", false)) {
        assertMinutesAreWhole(a);
        assertThat(a.range(OXYGEN, START, START.plusSeconds(SECONDS))).hasSize(SECONDS);
      }
    }
  }

  /** Its own part is then what was written of the minute, less what the other says. */
  @Test
  void readingThatComesAfterTheSpoolHasLetItsMinuteGo_isCountedWithWhatItTookBefore()
      throws Exception {
    try (LocalInflux influx = LocalInflux.start(folder);
        SpooledReadings a = open(influx, "a");
        SpooledReadings b = open(influx, "b")) {
      a.accept(seconds(0, SECONDS, i -> i % 2 == 0 && i != 62));
      b.accept(seconds(0, SECONDS, i -> i % 2 != 0));
      awaitSent(a, b);
      letGo("a");
      a.accept(seconds(62, 63, i -> true));
      awaitSent(a, b);

      assertMinutesAreWhole(b);
    }
  }
}
