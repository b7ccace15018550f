// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.nio.charset.StandardCharsets;
import opercle.ingest.reading.Reading;

/**
 * Readings as CSV (RFC 4180), in the columns that {@code replay} reads: time (ISO 8601, UTC), tank,
 * quantity, probe, value, unit.
 */
final class CsvReadings implements TraceExport.Writer {

  static final TraceExport.Form FORM =
      new TraceExport.Form() {
        @Override
        public String contentType() {
          return "text/csv; charset=utf-8; header=present";
        }

        @Override
        public String ending() {
          return ".csv";
        }

        @Override
        public TraceExport.Writer begin(OutputStream out) throws IOException {
          return new CsvReadings(out);
        }
      };

  private final BufferedWriter out;

  private CsvReadings(OutputStream to) throws IOException {
    out = new BufferedWriter(new OutputStreamWriter(to, StandardCharsets.UTF_8), 32 * 1024);
    out.write("time,tank,quantity,probe,value,unit\r\n");
  }

  @Override
  public void write(Reading reading) throws IOException {
    out.write(reading.time().toString());
    out.write(',');
    out.write(quoted(reading.tank()));
    out.write(',');
    out.write(reading.quantity().id());
    out.write(',');
    out.write(quoted(reading.probe()));
    out.write(',');
    out.write(Double.toString(reading.value()));
    out.write(',');
    out.write(reading.quantity().unit());
    out.write("\r\n");
  }

  private static String quoted(String text) {
    boolean plain = text.chars().noneMatch(c -> c == ',' || c == '"' || c == '\r' || c == '\n');
    return plain ? text : '"' + text.replace("\"", "\"\"") + '"';
  }

  @Override
  public void end() throws IOException {
    out.flush();
  }
}
