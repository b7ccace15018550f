// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
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
 * How much disk a reading takes, and how long it takes to read what charts draw, out of twelve
 * tanks' oxygen at one reading in so many seconds; on the disk of the folder for temporary files.
 * Readings come as they do, all tanks together, but an hour in one batch.
 *
 * <p>{@code java -cp <test class path of ingest> opercle.ingest.store.YearMain DAYS SECONDS}
 */
public final class YearMain {

  private static final Instant END = Instant.parse("2026-03-14T00:00:00Z");
  private static final int TANKS = 12;
  private static final int ROUNDS = 9;

  private YearMain() {}

  /** Takes the number of days and the seconds between two readings. */
  public static void main(String[] arguments) throws IOException, SQLException {
    int days = Integer.parseInt(arguments[0]);
    int seconds = Integer.parseInt(arguments[1]);
    Path file = Files.createTempDirectory("opercle-year").resolve("readings.db");
    try (SqliteReadings store = SqliteReadings.open(file)) {
      long start = System.nanoTime();
      long readings = fill(store, days, seconds);
      say("%,d readings written in %.0f s", readings, (System.nanoTime() - start) / 1e9);
      sizes(file, readings);
      Instant middle = END.minus(Duration.ofDays(days / 2L));
      draw("24 h of one tank in 1,000 parts", () -> day(store, 0, middle, 1000));
      draw("24 h of one tank in 720 parts of minutes", () -> day(store, 0, middle, 720));
      draw(
          "24 h of twelve tanks in 720 parts of minutes",
          () -> {
            for (int tank = 0; tank < TANKS; tank++) {
              day(store, tank, middle, 720);
            }
          });
      draw(
          "24 h of twelve tanks in 1,000 parts",
          () -> {
            for (int tank = 0; tank < TANKS; tank++) {
              day(store, tank, middle, 1000);
            }
          });
    }
    Files.delete(file);
  }

  private static long fill(SqliteReadings store, int days, int seconds) {
    long written = 0;
    for (long second = -days * 86_400L; second < 0; second += 3600) {
      List<Reading> batch = new ArrayList<>();
      for (long s = second; s < second + 3600; s += seconds) {
        for (int tank = 0; tank < TANKS; tank++) {
          double value = Math.round(800 + 50 * Math.sin(s / 7000.0 + tank)) / 100.0;
          Instant time = END.plusSeconds(s).plusMillis(37L * tank);
          batch.add(new Reading("h" + tank, Quantity.OXYGEN, "1", time, value));
        }
      }
      store.accept(batch);
      written += batch.size();
    }
    return written;
  }

  private static void day(SqliteReadings store, int tank, Instant to, int parts) {
    List<Bucket> found =
        store.buckets(
            new Series("h" + tank, Quantity.OXYGEN, "1"), to.minus(Duration.ofDays(1)), to, parts);
    if (found.size() != parts) {
      throw new IllegalStateException("%d parts".formatted(found.size()));
    }
  }

  private static void sizes(Path file, long readings) throws IOException, SQLException {
    say("the file: %.1f bytes a reading", Files.size(file) / (double) readings);
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement();
        ResultSet row =
            statement.executeQuery(
                "SELECT name, sum(pgsize) FROM dbstat WHERE name IN ('reading', 'minute')"
                    + " GROUP BY name")) {
      while (row.next()) {
        say("  %s: %.1f bytes a reading", row.getString(1), row.getLong(2) / (double) readings);
      }
    }
  }

  private static void draw(String what, Runnable drawing) {
    double[] millis = new double[ROUNDS];
    for (int round = 0; round < ROUNDS; round++) {
      long start = System.nanoTime();
      drawing.run();
      millis[round] = (System.nanoTime() - start) / 1e6;
    }
    double first = millis[0];
    Arrays.sort(millis);
    say(
        "%-45s first %.0f ms, median %.1f ms, most %.0f ms",
        what, first, millis[ROUNDS / 2], millis[ROUNDS - 1]);
  }

  private static void say(String format, Object... values) {
    System.out.println(String.format(Locale.ROOT, format, values));
  }
}
