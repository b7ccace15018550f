// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.simulator.probe.Dialect;

/**
 * Readings as probes would send them over MQTT: some probes as bare numbers, whose time is that of
 * arrival, some as SenML JSON packs (RFC 8428) with a base time. Which probe does which is fixed by
 * its name. Pure; safe for many threads.
 */
public final class ProbeMessages {

  /** More records than this go into the next pack. */
  private static final int RECORDS_PER_PACK = 100;

  /**
   * One MQTT message.
   *
   * @param topic {@code tanks/{tank}/{quantity}} or {@code tanks/{tank}/{quantity}/{probe}}
   * @param payload its bytes; not copied, so leave them alone
   */
  @SuppressWarnings("ArrayRecordComponent") // made to be handed on, never compared
  public record Message(String topic, byte[] payload) {}

  /** No probe shows more digits; a flow in l/s would otherwise have seventeen. */
  private static final MathContext SIX_DIGITS = new MathContext(6);

  private ProbeMessages() {}

  /** One reading as the message that its probe would send at once. */
  public static Message of(Reading reading) {
    Series series = reading.series();
    return Dialect.of(series) == Dialect.BARE_NUMBER
        ? bareNumber(reading)
        : pack(series, List.of(reading));
  }

  /**
   * Many readings as few messages, for catching up: each SenML probe's readings share packs; of
   * each probe that sends bare numbers only the newest is left, for an old bare number would be
   * taken for a new one.
   *
   * @param readings in order of arrival
   */
  public static List<Message> of(List<Reading> readings) {
    Map<Series, List<Reading>> bySeries = new LinkedHashMap<>();
    for (Reading reading : readings) {
      bySeries.computeIfAbsent(reading.series(), s -> new ArrayList<>()).add(reading);
    }
    List<Message> messages = new ArrayList<>();
    bySeries.forEach(
        (series, own) -> {
          if (Dialect.of(series) == Dialect.BARE_NUMBER) {
            messages.add(bareNumber(own.get(own.size() - 1)));
          } else {
            for (int i = 0; i < own.size(); i += RECORDS_PER_PACK) {
              messages.add(
                  pack(series, own.subList(i, Math.min(own.size(), i + RECORDS_PER_PACK))));
            }
          }
        });
    return messages;
  }

  private static Message bareNumber(Reading reading) {
    return new Message(topic(reading.series()), bytes(plain(reading.value())));
  }

  private static Message pack(Series series, List<Reading> readings) {
    long baseMs = readings.get(0).time().toEpochMilli();
    Unit unit = Unit.of(series);
    StringBuilder json =
        new StringBuilder(64 + 28 * readings.size())
            .append("[{\"bn\":\"")
            .append(series.tank())
            .append('/')
            .append(series.quantity().id())
            .append('/')
            .append(series.probe())
            .append("\",\"bt\":")
            .append(seconds(baseMs))
            .append(",\"bu\":\"")
            .append(unit.symbol())
            .append("\",");
    for (int i = 0; i < readings.size(); i++) {
      Reading reading = readings.get(i);
      json.append(i == 0 ? "" : ",{");
      long sinceMs = reading.time().toEpochMilli() - baseMs;
      if (sinceMs != 0L) {
        json.append("\"t\":").append(seconds(sinceMs)).append(',');
      }
      json.append("\"v\":").append(plain(unit.fromCanonical(reading.value()))).append('}');
    }
    return new Message(topic(series), bytes(json.append(']').toString()));
  }

  private static String topic(Series series) {
    String topic = "tanks/" + series.tank() + "/" + series.quantity().id();
    return series.probe().equals(Reading.DEFAULT_PROBE) ? topic : topic + "/" + series.probe();
  }

  private static String seconds(long ms) {
    return BigDecimal.valueOf(ms, 3).stripTrailingZeros().toPlainString();
  }

  private static String plain(double value) {
    return new BigDecimal(value, SIX_DIGITS).stripTrailingZeros().toPlainString();
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }

  /** The unit a SenML probe sends: some the canonical one, some another that SenML knows. */
  private record Unit(String symbol, double perCanonical) {
    static Unit of(Series series) {
      return switch (series.quantity()) {
        case OXYGEN -> new Unit("mg/l", 1.0);
        case OXYGEN_SATURATION -> new Unit("%", 1.0);
        case TEMPERATURE -> new Unit("Cel", 1.0);
        case GAS_FLOW -> new Unit("l/s", 1.0 / 60.0);
        case LINE_PRESSURE, CYLINDER_PRESSURE -> new Unit("Pa", 1e5);
        case AIR_PRESSURE -> new Unit("Pa", 1e3);
        case PH -> new Unit("pH", 1.0);
        case WATER_LEVEL -> new Unit("l", 1.0);
        case SALINITY -> throw new IllegalArgumentException("no simulated probe sends salinity");
      };
    }

    double fromCanonical(double value) {
      return value * perCanonical;
    }
  }
}
