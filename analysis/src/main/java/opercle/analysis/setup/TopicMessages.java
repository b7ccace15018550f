// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.reading.Quantity;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The topics that people assigned to tanks, over MQTT, for services that store readings apart.
 *
 * <pre>
 *  opercle/{farm}/farm/topics   retained: {"topics":[{"topic":"shed/7","pointer":"/mgL","tank":"h1",
 *                                          "quantity":"oxygen","probe":"shed.7.mgL","unit":"mg/L"}]}
 * </pre>
 *
 * <p>Pure; for any thread.
 */
public final class TopicMessages {

  private static final Logger log = LoggerFactory.getLogger(TopicMessages.class);
  private static final ObjectMapper JSON = new ObjectMapper();

  private TopicMessages() {}

  /** All that are assigned. */
  public static String of(List<TopicMapping> assigned) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    ArrayNode topics = json.putArray("topics");
    for (TopicMapping mapping : assigned) {
      ObjectNode topic = topics.addObject();
      topic.put("topic", mapping.topicFilter());
      topic.put("pointer", mapping.valuePointer());
      topic.put("tank", mapping.tank());
      topic.put("quantity", mapping.quantity().id());
      topic.put("probe", mapping.probe());
      mapping.unit().ifPresent(unit -> topic.put("unit", unit));
    }
    return json.toString();
  }

  /**
   * The topics in a message; empty, and logged, if it is no such message. One that cannot be used
   * is left out and logged: the others must come in all the same. So are those beyond as many as
   * can be assigned, whoever sent them.
   */
  public static Optional<List<TopicMapping>> read(byte[] payload) {
    JsonNode topics;
    try {
      topics = JSON.readTree(payload).path("topics");
    } catch (IOException e) {
      log.warn("the topics that the watch tells cannot be read: {}", e.getMessage());
      return Optional.empty();
    }
    if (!topics.isArray()) {
      log.warn("the topics that the watch tells cannot be read: \"topics\" must be a list");
      return Optional.empty();
    }
    List<TopicMapping> assigned = new ArrayList<>();
    if (topics.size() > ProbeDesk.MOST_ASSIGNED) {
      log.warn(
          "the watch tells {} topics, of which the first {} are used, which is the most",
          topics.size(),
          ProbeDesk.MOST_ASSIGNED);
    }
    for (int i = 0; i < Math.min(topics.size(), ProbeDesk.MOST_ASSIGNED); i++) {
      JsonNode topic = topics.path(i);
      try {
        assigned.add(mapping(topic));
      } catch (IllegalArgumentException e) {
        log.warn(
            "the topic {} that the watch tells cannot be used: {}",
            topic.path("topic"),
            e.getMessage());
      }
    }
    return Optional.of(List.copyOf(assigned));
  }

  private static TopicMapping mapping(JsonNode json) {
    String topic = json.path("topic").asText();
    if (!ProbeDesk.isProbesTopic(topic)) {
      throw new IllegalArgumentException("it is not a probe's topic");
    }
    String quantity = json.path("quantity").asText();
    return new TopicMapping(
        topic,
        json.path("tank").asText(),
        Quantity.of(quantity)
            .orElseThrow(
                () -> new IllegalArgumentException("there is no quantity \"" + quantity + "\"")),
        json.path("probe").asText(),
        json.path("pointer").asText(),
        Optional.empty(),
        Optional.ofNullable(json.get("unit")).map(JsonNode::asText),
        Optional.empty());
  }
}
