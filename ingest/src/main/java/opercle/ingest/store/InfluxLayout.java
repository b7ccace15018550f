// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import com.influxdb.client.domain.WritePrecision;
import com.influxdb.client.write.Point;
import java.time.Instant;
import java.util.Optional;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * How readings lie in InfluxDB: one measurement for all of them and one for their minutes, with the
 * series as tags, so that a point is known by series and time and the same one again is no second.
 * One measurement a quantity would make the list of the series a question for each of them, and a
 * new quantity a new table in 3.
 *
 * <table>
 *   <caption>Measurements</caption>
 *   <tr><td>opercle_reading</td><td>tags tank, quantity, probe; field value, in the quantity's
 *       canonical unit</td></tr>
 *   <tr><td>opercle_minute</td><td>the same tags; fields min, mean, max, sum, and count, a whole
 *       number; its time is the minute's start. Where several write a minute between them, each
 *       writes what it took, with itself as a further tag, part: together they are the
 *       minute</td></tr>
 * </table>
 */
final class InfluxLayout {

  static final String READINGS = "opercle_reading";
  static final String MINUTES = "opercle_minute";

  /** The tag that says whose part of a minute it is. */
  static final String PART = "part";

  /** The earliest and latest time that InfluxDB knows, roughly: 64 bits of nanoseconds. */
  private static final Instant EARLIEST = Instant.parse("1678-01-01T00:00:00Z");

  private static final Instant LATEST = Instant.parse("2262-01-01T00:00:00Z");

  private InfluxLayout() {}

  static String line(Reading reading) {
    return point(READINGS, reading.series())
        .addField("value", reading.value())
        .time(reading.time().toEpochMilli(), WritePrecision.MS)
        .toLineProtocol();
  }

  /**
   * A minute, or one writer's part of it.
   *
   * @param part whose; empty: it is the whole minute
   */
  static String line(Series series, Bucket minute, Optional<String> part) {
    Point point = point(MINUTES, series);
    part.ifPresent(p -> point.addTag(PART, p));
    return point
        .addField("min", minute.min())
        .addField("mean", minute.mean())
        .addField("max", minute.max())
        .addField("sum", minute.mean() * minute.count())
        .addField("count", minute.count())
        .time(minute.start().toEpochMilli(), WritePrecision.MS)
        .toLineProtocol();
  }

  private static Point point(String measurement, Series series) {
    return Point.measurement(measurement)
        .addTag("tank", series.tank())
        .addTag("quantity", series.quantity().id())
        .addTag("probe", series.probe());
  }

  /** The end of an InfluxQL query: one series from a time (included) to another (not included). */
  static String of(String measurement, Series series, Instant from, Instant to) {
    return " FROM \"%s\" WHERE %s AND time >= '%s' AND time < '%s'"
        .formatted(measurement, isSeries(series), time(from), time(to));
  }

  /** The end of an InfluxQL query: one series, all of it. */
  static String of(String measurement, Series series) {
    return " FROM \"%s\" WHERE %s".formatted(measurement, isSeries(series));
  }

  private static String isSeries(Series series) {
    return "\"tank\" = %s AND \"quantity\" = %s AND \"probe\" = %s"
        .formatted(
            literal(series.tank()), literal(series.quantity().id()), literal(series.probe()));
  }

  private static String literal(String text) {
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'";
  }

  private static Instant time(Instant time) {
    return time.isBefore(EARLIEST) ? EARLIEST : time.isAfter(LATEST) ? LATEST : time;
  }
}
