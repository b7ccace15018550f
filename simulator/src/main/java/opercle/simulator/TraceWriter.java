// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import opercle.ingest.reading.Reading;

/**
 * Writes simulated readings as a trace file: CSV, UTF-8, a header row, then {@code
 * time,tank,quantity,value,probe} in canonical units. Streams: needs no more memory for a month
 * than for a minute.
 */
public final class TraceWriter {

  private static final String HEADER = "time,tank,quantity,value,probe";
  private static final Duration CHUNK = Duration.ofMinutes(5);

  private TraceWriter() {}

  /**
   * Runs a farm on for a while and writes what its probes say.
   *
   * @param farm the farm, from its present on
   * @param duration how long, simulated time
   * @param file created or overwritten
   * @return rows written, without the header
   * @throws UncheckedIOException if the file cannot be written
   */
  public static long write(SimulatedFarm farm, Duration duration, Path file) {
    try (BufferedWriter out = Files.newBufferedWriter(file, StandardCharsets.UTF_8)) {
      return write(farm, duration, out);
    } catch (IOException e) {
      throw new UncheckedIOException("trace %s cannot be written".formatted(file), e);
    }
  }

  /** The same to a writer, which is left open. */
  public static long write(SimulatedFarm farm, Duration duration, Writer out) throws IOException {
    Instant end = farm.now().plus(duration);
    out.write(HEADER);
    out.write('\n');
    long rows = 0;
    StringBuilder row = new StringBuilder(80);
    while (farm.now().isBefore(end)) {
      Instant next = farm.now().plus(CHUNK);
      List<Reading> readings = farm.advance(next.isBefore(end) ? next : end);
      for (Reading reading : readings) {
        row.setLength(0);
        append(row, reading);
        out.append(row);
      }
      rows += readings.size();
    }
    out.flush();
    return rows;
  }

  private static void append(StringBuilder row, Reading r) {
    row.append(r.time()) // RFC 3339
        .append(',')
        .append(r.tank())
        .append(',')
        .append(r.quantity().id())
        .append(',')
        .append(r.value())
        .append(',')
        .append(r.probe())
        .append('\n');
  }
}
