// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class RetentionTest {

  private static final Instant NOW = Instant.parse("2026-03-14T02:00:00Z");
  private static final Duration KEEP = Duration.ofDays(90);
  private static final Series OXYGEN = new Series("h1", Quantity.OXYGEN, "1");
  private static final Series FLOW = new Series("h1", Quantity.GAS_FLOW, "1");

  @TempDir Path folder;
  private SqliteReadings store;

  @BeforeEach
  void open() {
    store = SqliteReadings.open(folder.resolve("readings.db"));
  }

  @AfterEach
  void close() {
    store.close();
  }

  private Retention retention(Duration keepReadings, Duration keepMinutes) {
    return new Retention(store, Retention.rules(store, keepReadings, keepMinutes), () -> NOW);
  }

  private void fill(Series series, Instant from, int seconds) {
    List<Reading> readings = new ArrayList<>();
    for (int s = 0; s < seconds; s++) {
      readings.add(
          new Reading(series.tank(), series.quantity(), series.probe(), from.plusSeconds(s), s));
    }
    store.accept(readings);
  }

  private int count(Series series) {
    return store.range(series, Instant.EPOCH, NOW.plusSeconds(3600)).size();
  }

  @Test
  void trim_deletesWhatIsOlderAndNothingElse() throws Exception {
    Instant limit = NOW.minus(KEEP);
    fill(OXYGEN, limit.minusSeconds(5000), 5010);
    fill(FLOW, limit.minusSeconds(10), 20);

    long deleted = retention(KEEP, Duration.ZERO).trim();

    assertThat(deleted).isEqualTo(5010);
    assertThat(store.range(OXYGEN, Instant.EPOCH, NOW).get(0).time()).isEqualTo(limit);
    assertThat(count(OXYGEN)).isEqualTo(10);
    assertThat(count(FLOW)).isEqualTo(10);
    assertThat(retention(KEEP, Duration.ZERO).trim()).isZero();
  }

  @Test
  void minutesOutliveTheirReadings_andAreDrawnInTheirPlace() throws Exception {
    Instant limit = NOW.minus(KEEP);
    fill(OXYGEN, limit.minusSeconds(600), 1200); // its values are its seconds
    List<Bucket> before = store.buckets(OXYGEN, limit.minusSeconds(600), limit.plusSeconds(600), 4);

    var unused = retention(KEEP, Duration.ofDays(400)).trim();

    assertThat(count(OXYGEN)).isEqualTo(600);
    assertThat(store.buckets(OXYGEN, limit.minusSeconds(600), limit.plusSeconds(600), 4))
        .isEqualTo(before);
    // Parts of half a minute: a minute stands in the one in which it begins, its lowest with it.
    List<Bucket> halves = store.buckets(OXYGEN, limit.minusSeconds(60), limit.plusSeconds(60), 4);
    assertThat(halves).extracting(Bucket::count).containsExactly(60L, 30L, 30L);
    assertThat(halves.get(0))
        .isEqualTo(new Bucket(limit.minusSeconds(60), limit.minusSeconds(30), 540, 599, 569.5, 60));
    // A part that begins in the middle of a minute shows that minute too.
    assertThat(store.buckets(OXYGEN, limit.minusSeconds(75), limit.minusSeconds(60), 1))
        .extracting(Bucket::min)
        .containsExactly(480.0);
  }

  @Test
  void minutesThatAreTooOld_goAsWell() throws Exception {
    Instant limit = NOW.minus(Duration.ofDays(400));
    fill(OXYGEN, limit.minusSeconds(600), 1200);

    var unused = retention(KEEP, Duration.ofDays(400)).trim();

    assertThat(count(OXYGEN)).isZero();
    List<Bucket> left = store.buckets(OXYGEN, limit.minusSeconds(600), limit.plusSeconds(600), 20);
    assertThat(left).hasSize(10);
    assertThat(left.get(0).start()).isEqualTo(limit);
  }

  @Test
  void readingThatComesAfterItsMinuteWasTrimmed_countsInTheMinute() throws Exception {
    Instant old = NOW.minus(KEEP).minusSeconds(600);
    fill(OXYGEN, old, 60);
    var unused = retention(KEEP, Duration.ZERO).trim();

    store.accept(List.of(new Reading("h1", Quantity.OXYGEN, "1", old.plusMillis(1500), -7)));
    var again = retention(KEEP, Duration.ZERO).trim();

    assertThat(again).isEqualTo(1);
    assertThat(store.buckets(OXYGEN, old, old.plusSeconds(60), 1))
        .singleElement()
        .matches(b -> b.min() == -7 && b.max() == 59 && b.count() == 61);
  }

  @Test
  void readingThatComesMeanwhile_doesNotWaitForTheEnd() throws Exception {
    fill(OXYGEN, NOW.minus(KEEP).minusSeconds(200_000), 100_000);
    Retention retention = retention(KEEP, Duration.ZERO);
    CompletableFuture<Void> trimming =
        CompletableFuture.runAsync(
            () -> {
              try {
                var unused = retention.trim();
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
            });
    await().atMost(Duration.ofSeconds(30)).until(() -> count(OXYGEN) < 100_000);

    fill(FLOW, NOW, 1);

    assertThat(count(OXYGEN)).as("still trimming").isPositive();
    trimming.get(60, TimeUnit.SECONDS);
    assertThat(count(OXYGEN)).isZero();
    assertThat(count(FLOW)).isEqualTo(1);
  }

  @Test
  void close_endsTheThread_andLeavesTheRestForTheNextTime() throws Exception {
    fill(OXYGEN, NOW.minus(KEEP).minusSeconds(200_000), 5_000);
    Retention retention = Retention.start(store, KEEP, Duration.ZERO, () -> NOW);

    retention.close();

    assertThat(retention.trim()).as("one bite").isBetween(1L, Retention.AT_ONCE + 60L);
    assertThat(Thread.getAllStackTraces().keySet())
        .noneMatch(t -> t.getName().equals("readings-trim"));
  }
}
