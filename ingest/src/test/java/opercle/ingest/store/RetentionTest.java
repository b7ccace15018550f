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

    long deleted = new Retention(store, KEEP, () -> NOW).trim();

    assertThat(deleted).isEqualTo(5010);
    assertThat(store.range(OXYGEN, Instant.EPOCH, NOW).get(0).time()).isEqualTo(limit);
    assertThat(count(OXYGEN)).isEqualTo(10);
    assertThat(count(FLOW)).isEqualTo(10);
    assertThat(new Retention(store, KEEP, () -> NOW).trim()).isZero();
  }

  @Test
  void readingThatComesMeanwhile_doesNotWaitForTheEnd() throws Exception {
    fill(OXYGEN, NOW.minus(KEEP).minusSeconds(200_000), 100_000);
    Retention retention = new Retention(store, KEEP, () -> NOW);
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
    Retention retention = Retention.start(store, KEEP, () -> NOW);

    retention.close();

    assertThat(retention.trim()).isEqualTo(Retention.AT_ONCE);
    assertThat(Thread.getAllStackTraces().keySet())
        .noneMatch(t -> t.getName().equals("readings-trim"));
  }
}
