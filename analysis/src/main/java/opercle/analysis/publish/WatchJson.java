// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.watch.Origins;
import opercle.analysis.watch.TankChecks;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;

/**
 * Alarm events and tank states as JSON objects on one line: the same on MQTT, in a webhook and from
 * {@code replay}.
 *
 * <p>A value that is not known is {@code null}, never zero; what applies to few alarms only ({@code
 * by}, {@code until}, {@code root}, {@code tanks}) is left out of the others. Times are RFC 3339 in
 * UTC with milliseconds. Numbers are rounded to what the probes can tell, so that equal input gives
 * equal text. Stateless; safe for many threads.
 */
public final class WatchJson {

  private static final JsonFactory JSON = new JsonFactory();
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'").withZone(ZoneOffset.UTC);

  private WatchJson() {}

  /** The alarm event as in the contract. */
  public static String alarm(AlarmEvent event) {
    return object(
        g -> {
          g.writeStringField("type", "alarm");
          g.writeStringField("time", time(event.time()));
          g.writeStringField("tank", event.tank());
          g.writeStringField("cause", event.cause().id());
          g.writeStringField("event", event.event().id());
          g.writeStringField("priority", event.priority().id());
          g.writeStringField("state", event.state().id());
          number(g, "timeInHandMinutes", event.timeInHandMinutes(), 1);
          number(g, "oxygenMgPerL", event.oxygenMgPerL(), 2);
          g.writeStringField("message", event.message());
          g.writeStringField("since", time(event.since()));
          g.writeBooleanField("annunciated", event.annunciated());
          present(g, "by", event.by());
          present(g, "until", event.until().map(WatchJson::time));
          root(g, event.root());
          tanks(g, event.tanks());
        });
  }

  /** The tank state, with its standing alarms. */
  public static String state(TankState state) {
    return object(
        g -> {
          stateFields(g, state);
          if (state.newestReading().isPresent()) {
            g.writeStringField("newestReading", time(state.newestReading().get()));
          } else {
            g.writeNullField("newestReading");
          }
          number(g, "gasFlowLPerMin", state.gasFlowLPerMin(), 2);
          timeInHand(g, "timeInHand", state.timeInHand());
          timeInHand(g, "timeInHandIfGasStops", state.timeInHandIfGasStops());
          checks(g, state.checks());
          g.writeArrayFieldStart("alarms");
          for (Alarm alarm : state.alarms()) {
            g.writeStartObject();
            g.writeStringField("cause", alarm.cause().id());
            g.writeStringField("priority", alarm.priority().id());
            g.writeStringField("state", alarm.state().id());
            g.writeStringField("since", time(alarm.since()));
            present(g, "acknowledgedBy", alarm.acknowledgedBy());
            g.writeStringField("message", alarm.message());
            g.writeBooleanField("annunciated", alarm.annunciated());
            present(g, "silencedUntil", alarm.silencedUntil().map(WatchJson::time));
            present(g, "by", alarm.by());
            present(g, "until", alarm.until().map(WatchJson::time));
            root(g, alarm.root());
            tanks(g, alarm.tanks());
            if (alarm.timeInHandMinutes().isPresent()) {
              number(g, "timeInHandMinutes", alarm.timeInHandMinutes(), 1);
            }
            g.writeEndObject();
          }
          g.writeEndArray();
          outOfService(g, state.outOfService());
        });
  }

  /** The tank state without alarms, as {@code replay --states} prints it. */
  public static String brief(TankState state) {
    return object(g -> stateFields(g, state));
  }

  /**
   * The last line of a replay.
   *
   * @param readings how many were taken
   * @param rejected how many were not
   * @param alarms how many were raised
   * @param seconds from the first reading to the newest, in trace time
   */
  public static String summary(long readings, long rejected, long alarms, double seconds) {
    return object(
        g -> {
          g.writeStringField("type", "summary");
          g.writeNumberField("readings", readings);
          g.writeNumberField("rejected", rejected);
          g.writeNumberField("alarms", alarms);
          number(g, "seconds", OptionalDouble.of(seconds), 3);
        });
  }

  /** An instant as all of Opercle's JSON writes it. */
  public static String time(Instant time) {
    return TIME.format(time);
  }

  private static void stateFields(JsonGenerator g, TankState state) throws IOException {
    g.writeStringField("type", "state");
    g.writeStringField("time", time(state.time()));
    g.writeStringField("tank", state.tank());
    number(g, "oxygenMgPerL", state.oxygenMgPerL(), 2);
    number(g, "saturationPercent", state.saturationPercent(), 1);
    number(g, "temperatureC", state.temperatureC(), 2);
    number(g, "slopeMgPerLPerMin", state.slopeMgPerLPerMin(), 4);
    number(g, "demandMgPerKgPerHour", state.demandMgPerKgPerHour(), 1);
    number(g, "timeInHandMinutes", state.timeInHand().likelyMinutes(), 1);
    number(g, "timeInHandIfGasStopsMinutes", state.timeInHandIfGasStops().likelyMinutes(), 1);
  }

  // The likely minutes are among the state's own fields; here what kind it is, and how sure.
  private static void timeInHand(JsonGenerator g, String key, TimeInHand timeInHand)
      throws IOException {
    if (timeInHand instanceof TimeInHand.Minutes m) {
      g.writeStringField(key, "minutes");
      number(g, key + "LowMinutes", OptionalDouble.of(m.minutes().low()), 1);
      number(g, key + "HighMinutes", OptionalDouble.of(m.minutes().high()), 1);
    } else if (timeInHand instanceof TimeInHand.Unknown u) {
      g.writeStringField(key, "unknown");
      g.writeStringField(key + "Unknown", u.why());
    } else {
      g.writeStringField(key, "holding");
    }
  }

  private static void checks(JsonGenerator g, TankChecks checks) throws IOException {
    g.writeObjectFieldStart("checks");
    g.writeStringField("oxygenProbe", checks.oxygenProbe().id());
    g.writeStringField("supply", checks.supply().id());
    number(g, "cylinderMinutes", checks.cylinderMinutes(), 0);
    number(g, "warmingCPerHour", checks.warmingCPerHour(), 2);
    number(g, "warmLimitC", checks.warmLimitC(), 1);
    origins(g, checks.origins());
    BeliefForm.write(g, checks.belief());
    g.writeEndObject();
  }

  private static void origins(JsonGenerator g, Origins origins) throws IOException {
    g.writeObjectFieldStart("origins");
    heard(g, "oxygen", origins.oxygen());
    heard(g, "temperature", origins.temperature());
    heard(g, "gasFlow", origins.gasFlow());
    if (origins.demandMeasured().isPresent()) {
      g.writeBooleanField("demandMeasured", origins.demandMeasured().get());
    }
    present(g, "fallingSince", origins.fallingSince().map(WatchJson::time));
    g.writeEndObject();
  }

  private static void heard(JsonGenerator g, String key, Optional<Origins.Heard> heard)
      throws IOException {
    if (heard.isPresent()) {
      g.writeObjectFieldStart(key);
      g.writeStringField("probe", heard.get().probe());
      g.writeStringField("time", time(heard.get().at()));
      g.writeEndObject();
    }
  }

  // What applies to few alarms stands only in those.
  private static void present(JsonGenerator g, String key, Optional<String> value)
      throws IOException {
    if (value.isPresent()) {
      g.writeStringField(key, value.get());
    }
  }

  private static void root(JsonGenerator g, Optional<AlarmId> root) throws IOException {
    if (root.isPresent()) {
      g.writeObjectFieldStart("root");
      g.writeStringField("tank", root.get().tank());
      g.writeStringField("cause", root.get().cause().id());
      g.writeEndObject();
    }
  }

  private static void tanks(JsonGenerator g, List<String> tanks) throws IOException {
    if (!tanks.isEmpty()) {
      g.writeArrayFieldStart("tanks");
      for (String tank : tanks) {
        g.writeString(tank);
      }
      g.writeEndArray();
    }
  }

  private static void outOfService(JsonGenerator g, List<OutOfService> orders) throws IOException {
    if (orders.isEmpty()) {
      return;
    }
    g.writeArrayFieldStart("outOfService");
    for (OutOfService order : orders) {
      g.writeStartObject();
      present(g, "cause", order.cause().map(AlarmCause::id));
      g.writeStringField("reason", order.reason());
      g.writeStringField("by", order.by());
      g.writeStringField("from", time(order.from()));
      g.writeStringField("until", time(order.until()));
      g.writeEndObject();
    }
    g.writeEndArray();
  }

  private static void number(JsonGenerator g, String key, OptionalDouble value, int decimals)
      throws IOException {
    if (value.isPresent() && Double.isFinite(value.getAsDouble())) {
      BigDecimal rounded =
          BigDecimal.valueOf(value.getAsDouble()).setScale(decimals, RoundingMode.HALF_EVEN);
      // One form for every zero, and no trailing zeros: 8.6, not 8.60; 31.0 stays 31.
      g.writeFieldName(key);
      g.writeNumber(rounded.signum() == 0 ? "0" : rounded.stripTrailingZeros().toPlainString());
    } else {
      g.writeNullField(key);
    }
  }

  private static String object(Fields fields) {
    StringWriter out = new StringWriter(320);
    try (JsonGenerator g = JSON.createGenerator(out)) {
      g.writeStartObject();
      fields.write(g);
      g.writeEndObject();
    } catch (IOException e) {
      throw new UncheckedIOException("a string cannot fail to be written", e);
    }
    return out.toString();
  }

  @FunctionalInterface
  private interface Fields {
    void write(JsonGenerator g) throws IOException;
  }
}
