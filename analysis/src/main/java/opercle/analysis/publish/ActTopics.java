// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.publish.TankAct.OnAlarm;
import opercle.analysis.watch.TankEvent;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Acts that come over MQTT, from a dashboard that runs as a process of its own or from a button.
 *
 * <pre>
 *  …/tank/{tank}/alarm/{cause}/acknowledge   {"by":"name"}; silence, reset, unshelve alike
 *  …/tank/{tank}/alarm/{cause}/shelve        {"by":"name","minutes":30}
 *  …/tank/{tank}/out-of-service              {"by":"name","reason":"why","minutes":120,"cause":"water-warm"}
 *  …/tank/{tank}/return-to-service           {"by":"name","cause":"water-warm"}
 *  …/tank/{tank}/event                       {"by":"name","kind":"fed"}
 * </pre>
 *
 * <p>Out of and back to service are about all of the tank where no cause is named.
 *
 * <p>With an {@code "id"} of up to {@value #LONGEST_ID} letters, digits, hyphens and underscores
 * beside the name, what became of it is told on {@code opercle/{farm}/answer/{id}}: {@code
 * {"id":"…","done":true}}, or {@code false} and {@code "why"} in words.
 */
public final class ActTopics {

  /** The longest name of a person, letters. */
  public static final int LONGEST_NAME = 60;

  /** The longest id of an act. */
  public static final int LONGEST_ID = 64;

  private static final Logger log = LoggerFactory.getLogger(ActTopics.class);
  private static final Pattern ID = Pattern.compile("[A-Za-z0-9_-]{1," + LONGEST_ID + "}");
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final long MOST_MINUTES = 90L * 24 * 60;

  private static final String OUT = "out-of-service";
  private static final String BACK = "return-to-service";
  private static final String EVENT = "event";

  private final Topics topics;

  /** The topics of a farm. */
  public ActTopics(Topics topics) {
    this.topics = topics;
  }

  /** What to subscribe to. */
  public List<String> filters() {
    return List.of(
        topics.alarmFilter() + "/+",
        topics.ofTank("+", OUT),
        topics.ofTank("+", BACK),
        topics.ofTank("+", EVENT));
  }

  /** The topic that an act goes to; not retained. */
  public String topic(TankAct act) {
    if (act instanceof OnAlarm a) {
      return topics.alarm(a.tank(), a.cause()) + "/" + a.what().id();
    }
    return topics.ofTank(
        act.tank(),
        act instanceof TankAct.Note ? EVENT : act instanceof TankAct.TakeOutOfService ? OUT : BACK);
  }

  /** What to say there; what becomes of it is told under that id. */
  public static String payload(TankAct act, String id) {
    ObjectNode json = JsonNodeFactory.instance.objectNode().put("id", id).put("by", act.by());
    if (act instanceof OnAlarm a) {
      a.length().ifPresent(length -> json.put("minutes", length.toMinutes()));
    } else if (act instanceof TankAct.TakeOutOfService out) {
      json.put("reason", out.reason()).put("minutes", out.length().toMinutes());
      out.cause().ifPresent(cause -> json.put("cause", cause.id()));
    } else if (act instanceof TankAct.ReturnToService back) {
      back.cause().ifPresent(cause -> json.put("cause", cause.id()));
    } else if (act instanceof TankAct.Note note) {
      json.put("kind", note.kind().id());
    }
    return json.toString();
  }

  /** What became of an act. */
  public record Answer(String id, Optional<String> refusal) {

    /** As JSON. */
    public String payload() {
      ObjectNode json =
          JsonNodeFactory.instance.objectNode().put("id", id).put("done", refusal.isEmpty());
      refusal.ifPresent(why -> json.put("why", why));
      return json.toString();
    }

    /** The answer in a message; empty if it is none. */
    public static Optional<Answer> read(byte[] payload) {
      JsonNode json = json("an answer", payload);
      String id = json.path("id").asText("");
      return id.isEmpty()
          ? Optional.empty()
          : Optional.of(
              new Answer(
                  id,
                  json.path("done").asBoolean()
                      ? Optional.empty()
                      : Optional.of(json.path("why").asText("no reason was given"))));
    }
  }

  /** The id under which the sender wants to know what became of it; empty where none is given. */
  public static Optional<String> id(byte[] payload) {
    String id = json("an act", payload).path("id").asText("");
    return ID.matcher(id).matches() ? Optional.of(id) : Optional.empty();
  }

  /** The act in a message; empty if it is none, and logged if it was meant to be one. */
  public Optional<TankAct> read(String topic, byte[] payload) {
    String[] levels = topic.split("/", -1);
    if (levels.length < 5 || !topic.startsWith(topics.ofTank(levels[3], ""))) {
      return Optional.empty();
    }
    String tank = levels[3];
    if (levels.length == 7 && levels[4].equals("alarm")) {
      Optional<AlarmCause> cause = AlarmCause.of(levels[5]);
      Optional<OnAlarm.What> what =
          Arrays.stream(OnAlarm.What.values()).filter(w -> w.id().equals(levels[6])).findFirst();
      if (cause.isEmpty() || what.isEmpty()) {
        return Optional.empty();
      }
      return onAlarm(topic, tank, cause.get(), what.get(), json(topic, payload));
    }
    if (levels.length != 5) {
      return Optional.empty();
    }
    return switch (levels[4]) {
      case OUT -> takeOut(topic, tank, json(topic, payload));
      case BACK -> giveBack(topic, tank, json(topic, payload));
      case EVENT -> note(topic, tank, json(topic, payload));
      default -> Optional.empty();
    };
  }

  private static Optional<TankAct> onAlarm(
      String topic, String tank, AlarmCause cause, OnAlarm.What what, JsonNode json) {
    Optional<Duration> length =
        what == OnAlarm.What.SHELVE ? length(topic, json) : Optional.of(Duration.ZERO);
    return length.flatMap(
        l ->
            name(topic, json)
                .map(
                    by ->
                        what == OnAlarm.What.SHELVE
                            ? new OnAlarm(tank, cause, what, by, length)
                            : OnAlarm.of(tank, cause, what, by)));
  }

  private static Optional<TankAct> takeOut(String topic, String tank, JsonNode json) {
    Optional<String> by = name(topic, json);
    Optional<Duration> length = length(topic, json);
    if (namesUnknownCause(topic, json) || by.isEmpty() || length.isEmpty()) {
      return Optional.empty();
    }
    String reason = json.path("reason").asText("").strip();
    return Optional.of(
        new TankAct.TakeOutOfService(tank, cause(json), reason, by.get(), length.get()));
  }

  private static Optional<TankAct> giveBack(String topic, String tank, JsonNode json) {
    return namesUnknownCause(topic, json)
        ? Optional.empty()
        : name(topic, json).map(by -> new TankAct.ReturnToService(tank, cause(json), by));
  }

  private static Optional<TankAct> note(String topic, String tank, JsonNode json) {
    String id = json.path("kind").asText("");
    Optional<TankEvent.Kind> kind = TankEvent.Kind.of(id);
    if (kind.isEmpty()) {
      log.warn("{}: \"kind\" must be one of {}; ignored", topic, TankEvent.Kind.ids());
      return Optional.empty();
    }
    return name(topic, json).map(by -> new TankAct.Note(tank, kind.get(), by));
  }

  private static Optional<AlarmCause> cause(JsonNode json) {
    return AlarmCause.of(json.path("cause").asText(""));
  }

  private static boolean namesUnknownCause(String topic, JsonNode json) {
    boolean unknown = json.has("cause") && cause(json).isEmpty();
    if (unknown) {
      log.warn("{}: there is no alarm {}; ignored", topic, json.path("cause"));
    }
    return unknown;
  }

  private static Optional<Duration> length(String topic, JsonNode json) {
    JsonNode minutes = json.path("minutes");
    if (!minutes.isIntegralNumber()
        || minutes.longValue() < 1
        || minutes.longValue() > MOST_MINUTES) {
      log.warn("{}: \"minutes\" must be a whole number from 1 to {}; ignored", topic, MOST_MINUTES);
      return Optional.empty();
    }
    return Optional.of(Duration.ofMinutes(minutes.longValue()));
  }

  private static Optional<String> name(String topic, JsonNode json) {
    String by = json.path("by").asText("").strip();
    boolean readable = by.codePoints().noneMatch(Character::isISOControl);
    if (by.isEmpty() || by.length() > LONGEST_NAME || !readable) {
      log.warn(
          "{}: this must name somebody in at most {} letters, as {}; ignored",
          topic,
          LONGEST_NAME,
          "{\"by\": \"name\"}");
      return Optional.empty();
    }
    return Optional.of(by);
  }

  private static JsonNode json(String topic, byte[] payload) {
    try {
      JsonNode json = JSON.readTree(payload);
      return json == null ? JSON.missingNode() : json;
    } catch (IOException e) {
      log.debug("{} holds no JSON", topic, e);
      return JSON.missingNode();
    }
  }
}
