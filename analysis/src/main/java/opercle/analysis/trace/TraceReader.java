// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trace;

import com.ethlo.time.ITU;
import de.siegmar.fastcsv.reader.CloseableIterator;
import de.siegmar.fastcsv.reader.CsvParseException;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.CsvRecord;
import java.io.IOException;
import java.io.PushbackReader;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Predicate;
import opercle.ingest.reading.Measured;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Units;
import opercle.ingest.settings.Nearest;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;
import org.jspecify.annotations.Nullable;

/**
 * Reads a recorded trace: CSV (RFC 4180, UTF-8) with a header row; columns by name in any order:
 * {@code time} (RFC 3339, or seconds since 1970 with fraction), {@code tank}, {@code quantity},
 * {@code value}, and optionally {@code probe} and {@code unit}.
 *
 * <p>A row that cannot be used is told to the {@code broken} consumer and skipped; the trace goes
 * on. One thread only.
 */
public final class TraceReader implements AutoCloseable {

  private static final List<String> REQUIRED = List.of("time", "tank", "quantity", "value");
  private static final List<String> KNOWN =
      List.of("time", "tank", "quantity", "value", "probe", "unit");
  private static final Instant EARLIEST = Instant.parse("2000-01-01T00:00:00Z");
  private static final Instant LATEST = Instant.parse("2100-01-01T00:00:00Z");

  private final String source;
  private final CsvReader<CsvRecord> csv;
  private final CloseableIterator<CsvRecord> rows;
  private final Predicate<String> knownTank;
  private final Consumer<Problem> broken;
  private final Map<String, Integer> column = new HashMap<>();
  private final int width;

  // Neighbouring rows mostly share their time; parsing it is half the cost of a row.
  private String lastTimeText = "";
  private Instant lastTime = Instant.EPOCH;

  /**
   * Opens a trace and reads its header.
   *
   * @param source what to call it in messages, usually the file's name
   * @param text the CSV; closed with this reader
   * @param knownTank whether the farm has a tank of that id
   * @param broken told of each row that cannot be used
   * @throws UnusableInputException if the header lacks a column or has an unknown one
   */
  public TraceReader(
      String source, Reader text, Predicate<String> knownTank, Consumer<Problem> broken) {
    this.source = source;
    this.knownTank = knownTank;
    this.broken = broken;
    this.csv = CsvReader.builder().skipEmptyLines(true).ofCsvRecord(withoutMark(text));
    this.rows = csv.iterator();
    CsvRecord header = nextRow();
    if (header == null) {
      throw unusable(1, "", "is empty; the first row must name the columns " + REQUIRED);
    }
    this.width = header.getFieldCount();
    for (int i = 0; i < width; i++) {
      String name = header.getField(i).strip();
      if (!KNOWN.contains(name)) {
        throw unusable(
            1,
            name,
            "unknown column"
                + Nearest.to(name, KNOWN)
                    .map(" (did you mean %s?)"::formatted)
                    .orElse("; known here: " + String.join(", ", KNOWN)));
      }
      if (column.put(name, i) != null) {
        throw unusable(1, name, "the column is there twice");
      }
    }
    for (String name : REQUIRED) {
      if (!column.containsKey(name)) {
        throw unusable(1, name, "the column is missing");
      }
    }
  }

  /** The next usable reading, or null at the end of the trace. */
  public @Nullable Reading next() {
    while (true) {
      CsvRecord row = nextRow();
      if (row == null) {
        return null;
      }
      Reading reading = reading(row);
      if (reading != null) {
        return reading;
      }
    }
  }

  @Override
  public void close() {
    try {
      rows.close();
      csv.close();
    } catch (IOException e) {
      throw new UncheckedIOException("cannot close " + source, e);
    }
  }

  // Some spreadsheets write a byte order mark, which would stick to the first column's name.
  private static Reader withoutMark(Reader text) {
    try {
      PushbackReader reader = new PushbackReader(text, 1);
      int first = reader.read();
      if (first >= 0 && first != '\uFEFF') {
        reader.unread(first);
      }
      return reader;
    } catch (IOException e) {
      throw new UncheckedIOException("cannot read the trace", e);
    }
  }

  private @Nullable CsvRecord nextRow() {
    try {
      return rows.hasNext() ? rows.next() : null;
    } catch (CsvParseException e) {
      throw unusable(0, "", "is not valid CSV: " + e.getMessage());
    }
  }

  private @Nullable Reading reading(CsvRecord row) {
    if (row.getFieldCount() != width) {
      return broken(
          row, "", "has %d fields, the header has %d".formatted(row.getFieldCount(), width));
    }
    String tank = field(row, "tank").strip();
    if (!knownTank.test(tank)) {
      return broken(row, "tank", "\"%s\" is not a tank of this farm".formatted(tank));
    }
    String quantityId = field(row, "quantity");
    Optional<Quantity> quantity = Quantity.of(quantityId);
    if (quantity.isEmpty()) {
      return broken(
          row, "quantity", "\"%s\" is not a quantity that Opercle knows".formatted(quantityId));
    }
    Instant time = time(row);
    if (time == null) {
      return null;
    }
    double value;
    try {
      value = Double.parseDouble(field(row, "value"));
    } catch (NumberFormatException e) {
      return broken(row, "value", "\"%s\" is not a number".formatted(field(row, "value")));
    }
    Quantity measured = quantity.get();
    String unit = field(row, "unit").strip();
    if (!unit.isEmpty()) {
      Optional<Measured> converted = Units.toCanonical(measured, value, unit);
      if (converted.isEmpty()) {
        return broken(row, "unit", "\"%s\" is not a unit of %s".formatted(unit, measured.id()));
      }
      measured = converted.get().quantity();
      value = converted.get().value();
    }
    if (!measured.isPlausible(value)) {
      return broken(
          row,
          "value",
          "%s %s is outside the plausible range of %s, %s to %s %s"
              .formatted(
                  value,
                  measured.unit(),
                  measured.id(),
                  measured.lowestPlausible(),
                  measured.highestPlausible(),
                  measured.unit()));
    }
    String probe = field(row, "probe").strip();
    return new Reading(
        tank, measured, probe.isEmpty() ? Reading.DEFAULT_PROBE : probe, time, value);
  }

  private @Nullable Instant time(CsvRecord row) {
    String text = field(row, "time");
    if (text.equals(lastTimeText)) {
      return lastTime;
    }
    Instant time;
    try {
      time = isNumber(text) ? fromSeconds(text) : ITU.parseDateTime(text).toInstant();
    } catch (DateTimeException | NumberFormatException | ArithmeticException e) {
      broken(
          row,
          "time",
          "\"%s\" is neither a time such as 2026-03-14T09:00:00Z nor seconds since 1970"
              .formatted(text));
      return null;
    }
    if (time.isBefore(EARLIEST) || !time.isBefore(LATEST)) {
      broken(row, "time", "\"%s\" is outside the years 2000 to 2099".formatted(text));
      return null;
    }
    lastTimeText = text;
    lastTime = time;
    return time;
  }

  private static boolean isNumber(String text) {
    // An RFC 3339 time has a hyphen behind its year; a count of seconds has none but an exponent's.
    return text.length() < 5 || text.charAt(4) != '-';
  }

  private static Instant fromSeconds(String text) {
    BigDecimal seconds = new BigDecimal(text.strip());
    if (seconds.abs().compareTo(BigDecimal.valueOf(100_000_000_000L)) > 0) {
      throw new ArithmeticException("out of range");
    }
    long whole = seconds.longValue();
    return Instant.ofEpochSecond(
        whole, seconds.subtract(BigDecimal.valueOf(whole)).movePointRight(9).longValue());
  }

  private String field(CsvRecord row, String name) {
    Integer index = column.get(name);
    return index == null ? "" : row.getField(index);
  }

  private @Nullable Reading broken(CsvRecord row, String key, String message) {
    broken.accept(new Problem(source, (int) row.getStartingLineNumber(), key, message));
    return null;
  }

  private UnusableInputException unusable(int line, String key, String message) {
    return new UnusableInputException(new Problem(source, line, key, message));
  }
}
