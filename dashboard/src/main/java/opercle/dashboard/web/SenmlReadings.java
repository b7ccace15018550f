// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.StreamWriteFeature;
import java.io.IOException;
import java.io.OutputStream;
import java.math.BigDecimal;
import java.util.Optional;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/**
 * Readings as SenML JSON (RFC 8428): one pack, names of the form {@code tank/quantity/probe}, times
 * in seconds since 1970, units as registered there and in RFC 8798. Salinity has no unit in those
 * and stands without one, in g/kg.
 */
final class SenmlReadings implements TraceExport.Writer {

  static final TraceExport.Form FORM =
      new TraceExport.Form() {
        @Override
        public String contentType() {
          return "application/senml+json";
        }

        @Override
        public String ending() {
          return ".senml";
        }

        @Override
        public TraceExport.Writer begin(OutputStream out) throws IOException {
          return new SenmlReadings(out);
        }
      };

  private static final JsonFactory JSON = new JsonFactory();

  /** A unit of SenML, and how many of the canonical one make one of it. */
  private record Unit(String name, double canonical) {}

  private final JsonGenerator out;

  private SenmlReadings(OutputStream to) throws IOException {
    out =
        JSON.createGenerator(to)
            .disable(JsonGenerator.Feature.AUTO_CLOSE_TARGET)
            .enable(StreamWriteFeature.WRITE_BIGDECIMAL_AS_PLAIN.mappedFeature());
    out.writeStartArray();
  }

  @Override
  public void write(Reading reading) throws IOException {
    out.writeStartObject();
    out.writeStringField(
        "n", reading.tank() + "/" + reading.quantity().id() + "/" + reading.probe());
    double value = reading.value();
    Optional<Unit> unit = unit(reading.quantity());
    if (unit.isPresent()) {
      out.writeStringField("u", unit.get().name());
      value /= unit.get().canonical();
    }
    out.writeNumberField("v", value);
    out.writeNumberField("t", BigDecimal.valueOf(reading.time().toEpochMilli(), 3));
    out.writeEndObject();
    out.writeRaw('\n');
  }

  private static Optional<Unit> unit(Quantity quantity) {
    return switch (quantity) {
      case OXYGEN -> Optional.of(new Unit("mg/l", 1.0));
      case OXYGEN_SATURATION -> Optional.of(new Unit("/", 100.0));
      case TEMPERATURE -> Optional.of(new Unit("Cel", 1.0));
      case GAS_FLOW -> Optional.of(new Unit("l/s", 60.0));
      case LINE_PRESSURE, CYLINDER_PRESSURE -> Optional.of(new Unit("Pa", 1e-5));
      case AIR_PRESSURE -> Optional.of(new Unit("Pa", 1e-3));
      case PH -> Optional.of(new Unit("pH", 1.0));
      case WATER_LEVEL -> Optional.of(new Unit("l", 1.0));
      case SALINITY -> Optional.empty();
    };
  }

  @Override
  public void end() throws IOException {
    out.writeEndArray();
    out.flush();
  }
}
