// SPDX-License-Identifier: Apache-2.0
package opercle.analysis;

import de.siegmar.fastcsv.reader.CommentStrategy;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.NamedCsvRecord;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;

/** A table of published values under {@code /reference}, row by printed row. */
public final class ReferenceTable {

  private ReferenceTable() {}

  /** One row; prints as table, line and first cells, so that a failure says where to look. */
  public record Row(String table, NamedCsvRecord cells) {

    /** A cell's text; the table must have the column. */
    public String text(String column) {
      return cells
          .findField(column)
          .orElseThrow(() -> new IllegalArgumentException(table + " has no column " + column));
    }

    /** A cell's number. */
    public double number(String column) {
      return Double.parseDouble(text(column));
    }

    /** Whether the cell is empty: not measured, not read. */
    public boolean isBlank(String column) {
      return text(column).isBlank();
    }

    @Override
    public String toString() {
      List<String> fields = cells.getFields();
      return "%s line %d: %s"
          .formatted(
              table,
              cells.getStartingLineNumber(),
              String.join(", ", fields.subList(0, Math.min(4, fields.size()))));
    }
  }

  /**
   * The rows of a table.
   *
   * @param name file name without folder and ending
   */
  public static Stream<Row> rows(String name) {
    String file = "/reference/" + name + ".csv";
    try (InputStream in =
            Objects.requireNonNull(ReferenceTable.class.getResourceAsStream(file), file);
        CsvReader<NamedCsvRecord> reader =
            CsvReader.builder()
                .commentStrategy(CommentStrategy.SKIP)
                .ofNamedCsvRecord(new InputStreamReader(in, StandardCharsets.UTF_8))) {
      List<Row> rows = reader.stream().map(cells -> new Row(name, cells)).toList();
      if (rows.isEmpty()) {
        throw new IllegalStateException(file + " has no rows"); // or its test could not fail
      }
      return rows.stream();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
