// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.io.IOException;
import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Acknowledgements that come over MQTT, from a dashboard that runs as a process of its own. */
public final class AcknowledgementTopic {

  private static final Logger log = LoggerFactory.getLogger(AcknowledgementTopic.class);
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final int LONGEST_NAME = 60;

  /**
   * Somebody has an alarm.
   *
   * @param tank the tank's id
   * @param cause which alarm
   * @param by who
   */
  public record Acknowledgement(String tank, AlarmCause cause, String by) {}

  private AcknowledgementTopic() {}

  /** The payload that names a person. */
  public static String payload(String by) {
    return JsonNodeFactory.instance.objectNode().put("by", by).toString();
  }

  /** The acknowledgement in a message; empty, and logged, if it is none. */
  public static Optional<Acknowledgement> read(Topics topics, String topic, byte[] payload) {
    Optional<Topics.AlarmOf> alarm = topics.acknowledgedBy(topic);
    if (alarm.isEmpty()) {
      return Optional.empty();
    }
    String by = "";
    try {
      JsonNode json = JSON.readTree(payload);
      by = json == null ? "" : json.path("by").asText("").strip();
    } catch (IOException e) {
      log.debug("{} holds no JSON", topic, e);
    }
    boolean readable = by.codePoints().noneMatch(Character::isISOControl);
    if (by.isEmpty() || by.length() > LONGEST_NAME || !readable) {
      log.warn(
          "{}: an acknowledgement must name somebody in at most {} letters, as {}; ignored",
          topic,
          LONGEST_NAME,
          "{\"by\": \"name\"}");
      return Optional.empty();
    }
    return Optional.of(new Acknowledgement(alarm.get().tank(), alarm.get().cause(), by));
  }
}
