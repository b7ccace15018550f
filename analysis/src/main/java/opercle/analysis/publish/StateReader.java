// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.alarm.Priority;
import opercle.analysis.watch.Origins;
import opercle.analysis.watch.TankChecks;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;

/** Reads back what {@link WatchJson#state} writes. */
public final class StateReader {

  private static final ObjectMapper JSON = new ObjectMapper();

  private StateReader() {}

  /**
   * A tank state, rounded as it was written.
   *
   * @throws JsonProcessingException if the text is not JSON
   * @throws IllegalArgumentException if it is not a tank state
   */
  public static TankState read(String text) throws JsonProcessingException {
    JsonNode json = JSON.readTree(text);
    String tank = required(json, "tank");
    List<Alarm> alarms = new ArrayList<>();
    for (JsonNode a : json.path("alarms")) {
      AlarmCause.of(required(a, "cause"))
          .ifPresent( // one that a newer program knows is left out
              cause -> alarms.add(alarm(tank, cause, a)));
    }
    return new TankState(
        tank,
        time(required(json, "time")),
        optional(json, "newestReading").map(StateReader::time),
        number(json, "oxygenMgPerL"),
        number(json, "saturationPercent"),
        number(json, "temperatureC"),
        number(json, "gasFlowLPerMin"),
        number(json, "slopeMgPerLPerMin"),
        number(json, "demandMgPerKgPerHour"),
        timeInHand(json, "timeInHand"),
        timeInHand(json, "timeInHandIfGasStops"),
        alarms,
        checks(json.path("checks")),
        outOfService(json.path("outOfService")));
  }

  private static List<OutOfService> outOfService(JsonNode orders) {
    List<OutOfService> read = new ArrayList<>();
    for (JsonNode order : orders) {
      Optional<AlarmCause> cause = AlarmCause.of(order.path("cause").asText(""));
      if (cause.isPresent() || !order.has("cause")) { // of a cause that a newer program knows: none
        read.add(
            new OutOfService(
                cause,
                required(order, "reason"),
                required(order, "by"),
                time(required(order, "from")),
                time(required(order, "until"))));
      }
    }
    return read;
  }

  /** What an older program does not say is not known. */
  private static TankChecks checks(JsonNode json) {
    return new TankChecks(
        TankChecks.Trust.of(optional(json, "oxygenProbe")),
        TankChecks.Supply.of(optional(json, "supply")),
        number(json, "cylinderMinutes"),
        number(json, "warmingCPerHour"),
        number(json, "warmLimitC"),
        origins(json.path("origins")),
        BeliefForm.read(json.path("belief")));
  }

  private static Origins origins(JsonNode json) {
    JsonNode measured = json.path("demandMeasured");
    return new Origins(
        heard(json.path("oxygen")),
        heard(json.path("temperature")),
        heard(json.path("gasFlow")),
        measured.isBoolean() ? Optional.of(measured.booleanValue()) : Optional.empty(),
        optional(json, "fallingSince").map(StateReader::time));
  }

  private static Optional<Origins.Heard> heard(JsonNode json) {
    return json.isObject()
        ? Optional.of(new Origins.Heard(required(json, "probe"), time(required(json, "time"))))
        : Optional.empty();
  }

  private static Alarm alarm(String tank, AlarmCause cause, JsonNode a) {
    AlarmState state = AlarmState.valueOf(constant(required(a, "state")));
    List<String> tanks = new ArrayList<>();
    a.path("tanks").forEach(id -> tanks.add(id.asText()));
    return new Alarm(
        tank,
        cause,
        Priority.valueOf(constant(required(a, "priority"))),
        state,
        time(required(a, "since")),
        optional(a, "acknowledgedBy"),
        required(a, "message"),
        a.path("annunciated").asBoolean(state.callsSomebody()),
        optional(a, "silencedUntil").map(StateReader::time),
        optional(a, "by"),
        optional(a, "until").map(StateReader::time),
        root(a.path("root")),
        tanks,
        number(a, "timeInHandMinutes"));
  }

  private static Optional<AlarmId> root(JsonNode root) {
    return root.isObject()
        ? AlarmCause.of(required(root, "cause"))
            .map(cause -> new AlarmId(required(root, "tank"), cause))
        : Optional.empty();
  }

  private static TimeInHand timeInHand(JsonNode json, String key) {
    return switch (required(json, key)) {
      case "minutes" ->
          new TimeInHand.Minutes(
              new Band(
                  number(json, key + "LowMinutes").orElseThrow(() -> missing(key + "LowMinutes")),
                  number(json, key + "Minutes").orElseThrow(() -> missing(key + "Minutes")),
                  number(json, key + "HighMinutes").orElse(Double.POSITIVE_INFINITY)));
      case "holding" -> new TimeInHand.Holding();
      default -> new TimeInHand.Unknown(optional(json, key + "Unknown").orElse("not known"));
    };
  }

  private static Instant time(String text) {
    try {
      return Instant.parse(text);
    } catch (java.time.DateTimeException e) {
      throw new IllegalArgumentException("\"%s\" is not a time".formatted(text), e);
    }
  }

  private static OptionalDouble number(JsonNode json, String key) {
    JsonNode value = json.path(key);
    return value.isNumber() ? OptionalDouble.of(value.doubleValue()) : OptionalDouble.empty();
  }

  private static Optional<String> optional(JsonNode json, String key) {
    JsonNode value = json.path(key);
    return value.isTextual() ? Optional.of(value.textValue()) : Optional.empty();
  }

  private static String required(JsonNode json, String key) {
    return optional(json, key).orElseThrow(() -> missing(key));
  }

  private static IllegalArgumentException missing(String key) {
    return new IllegalArgumentException("a tank state needs \"%s\"".formatted(key));
  }

  private static String constant(String id) {
    return id.toUpperCase(Locale.ROOT).replace('-', '_');
  }
}
