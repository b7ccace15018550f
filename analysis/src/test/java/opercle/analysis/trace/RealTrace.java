// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trace;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;

/**
 * The measured traces of {@code src/test/resources/traces} (origins and licences in SOURCES.md
 * there), turned into Opercle's trace format for a tank {@code h1}.
 */
public final class RealTrace {

  private RealTrace() {}

  /**
   * Reads a measured trace and writes it as {@code time,tank,quantity,value} rows.
   *
   * @param file its name in the folder
   * @param start the instant of its second zero
   */
  public static String asTrace(String file, Instant start) {
    List<String> rows = new ArrayList<>();
    rows.add("time,tank,quantity,value");
    List<String> lines = lines(file);
    List<String> header = Arrays.asList(lines.get(0).split(","));
    int oxygen =
        Math.max(header.indexOf("oxygen_mg_per_l"), header.indexOf("oxygen_mg_per_l_calc"));
    int temperature = header.indexOf("temperature_c");
    for (String line : lines.subList(1, lines.size())) {
      String[] cells = line.split(",", -1);
      long millis = new BigDecimal(cells[0]).movePointRight(3).longValueExact();
      Instant time = start.plusMillis(millis);
      if (temperature >= 0) {
        rows.add(time + ",h1,temperature," + cells[temperature]);
      }
      rows.add(time + ",h1,oxygen," + cells[oxygen]);
    }
    return String.join("\n", rows) + "\n";
  }

  private static List<String> lines(String file) {
    try (InputStream in = RealTrace.class.getResourceAsStream("/traces/" + file)) {
      return new String(Objects.requireNonNull(in, file).readAllBytes(), StandardCharsets.UTF_8)
          .lines()
          .filter(l -> !l.startsWith("#"))
          .toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
