// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * How long a batch of readings waits for the store, without and with old readings being deleted at
 * the same time; on the disk of the folder for temporary files.
 *
 * <p>{@code java -cp <test class path of ingest> opercle.ingest.store.RetentionMain}
 */
public final class RetentionMain {

  private static final Instant NOW = Instant.parse("2026-03-14T02:00:00Z");
  private static final int OLD = 200_000;
  private static final int SERIES = 3;
  private static final int BATCH = 100;

  private RetentionMain() {}

  /** Takes no arguments. */
  public static void main(String[] arguments)
      throws IOException, InterruptedException, ExecutionException {
    Path folder = Files.createTempDirectory("opercle-retention");
    try (SqliteReadings store = SqliteReadings.open(folder.resolve("readings.db"))) {
      for (int i = 0; i < SERIES; i++) {
        store.accept(readings("old" + i, NOW.minus(Duration.ofDays(200)), OLD));
      }
      say("alone", accept(store, "a", new CompletableFuture<>(), 500));
      Retention retention =
          new Retention(
              store, Retention.rules(store, Duration.ofDays(90), Duration.ofDays(730)), () -> NOW);
      CompletableFuture<Long> trimming =
          CompletableFuture.supplyAsync(
              () -> {
                try {
                  return retention.trim();
                } catch (InterruptedException e) {
                  Thread.currentThread().interrupt();
                  return 0L;
                }
              });
      say("while deleting", accept(store, "b", trimming, Integer.MAX_VALUE));
      System.out.println(trimming.get() + " readings deleted");
    }
  }

  private static double[] accept(
      SqliteReadings store, String tank, CompletableFuture<Long> until, int most) {
    List<Double> millis = new ArrayList<>();
    for (int i = 0; i < most && !until.isDone(); i++) {
      List<Reading> batch = readings(tank, NOW.plusSeconds(i * (long) BATCH), BATCH);
      long start = System.nanoTime();
      store.accept(batch);
      millis.add((System.nanoTime() - start) / 1e6);
    }
    return millis.stream().mapToDouble(Double::doubleValue).sorted().toArray();
  }

  private static List<Reading> readings(String tank, Instant from, int count) {
    Series series = new Series(tank, Quantity.OXYGEN, Reading.DEFAULT_PROBE);
    List<Reading> readings = new ArrayList<>(count);
    for (int s = 0; s < count; s++) {
      readings.add(
          new Reading(series.tank(), series.quantity(), series.probe(), from.plusSeconds(s), s));
    }
    return readings;
  }

  private static void say(String when, double[] sorted) {
    System.out.println(
        String.format(
            Locale.ROOT,
            "%-16s %6d batches of %d: p50 %.1f ms, p99 %.1f ms, most %.1f ms",
            when,
            sorted.length,
            BATCH,
            sorted[sorted.length / 2],
            sorted[(int) (0.99 * sorted.length)],
            Arrays.stream(sorted).max().orElse(0)));
  }
}
