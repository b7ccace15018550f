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
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * How long it takes to read what a chart of three traces draws, from readings at one a second: from
 * the minutes' roll-ups, and from the readings themselves; on the disk of the folder for temporary
 * files.
 *
 * <p>{@code java -cp <test class path of ingest> opercle.ingest.store.DrawingMain}
 */
public final class DrawingMain {

  private static final Instant END = Instant.parse("2026-03-14T02:00:00Z");
  private static final int DAYS = 30;
  private static final int ROUNDS = 9;
  private static final List<Quantity> TRACES =
      List.of(Quantity.OXYGEN, Quantity.TEMPERATURE, Quantity.GAS_FLOW);

  private DrawingMain() {}

  /** Takes no arguments. */
  public static void main(String[] arguments) throws IOException {
    Path folder = Files.createTempDirectory("opercle-drawing");
    Path file = folder.resolve("readings.db");
    try (SqliteReadings store = SqliteReadings.open(file)) {
      long start = System.nanoTime();
      fill(store);
      System.out.println(
          String.format(
              Locale.ROOT,
              "%d days of %d traces at 1 Hz: written in %.0f s, %d MB",
              DAYS,
              TRACES.size(),
              (System.nanoTime() - start) / 1e9,
              Files.size(file) / 1_000_000));
      draw(store, "24 h in 720 parts, rolled up", Duration.ofDays(1), 720, END);
      draw(store, "24 h in 1,000 parts, from readings", Duration.ofDays(1), 1000, END);
      draw(store, "30 days in 1,080 parts, rolled up", Duration.ofDays(30), 1080, END);
      draw(
          store,
          "30 days in 1,080 parts, from readings",
          Duration.ofDays(30),
          1080,
          END.minusMillis(1));
    }
  }

  private static void fill(SqliteReadings store) {
    for (long second = -DAYS * 86_400L; second < 0; second += 3600) {
      for (Quantity quantity : TRACES) {
        List<Reading> batch = new ArrayList<>(3600);
        for (int i = 0; i < 3600; i++) {
          Instant time = END.plusSeconds(second + i);
          batch.add(
              new Reading("h1", quantity, "1", time, 8 + Math.sin((double) time.getEpochSecond())));
        }
        store.accept(batch);
      }
    }
  }

  private static void draw(
      SqliteReadings store, String what, Duration span, int parts, Instant to) {
    double[] millis = new double[ROUNDS];
    int found = 0;
    for (int round = 0; round < ROUNDS; round++) {
      long start = System.nanoTime();
      for (Quantity quantity : TRACES) {
        found = store.buckets(new Series("h1", quantity, "1"), to.minus(span), to, parts).size();
      }
      millis[round] = (System.nanoTime() - start) / 1e6;
    }
    double first = millis[0];
    Arrays.sort(millis);
    System.out.println(
        String.format(
            Locale.ROOT,
            "%-38s first %.0f ms, median %.1f ms, most %.0f ms; %d parts",
            what,
            first,
            millis[ROUNDS / 2],
            millis[ROUNDS - 1],
            found));
  }
}
