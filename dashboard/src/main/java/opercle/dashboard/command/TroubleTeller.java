// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import opercle.analysis.alarm.Priority;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleEvent;
import opercle.analysis.publish.Topics;
import opercle.analysis.publish.WatchJson;
import opercle.dashboard.monitor.TroubleListener;
import opercle.ingest.mqtt.LinkState;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.TopicListener;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Tells the log and MQTT of the monitor's own troubles: each retained while it stands, and the
 * monitor's status {@code degraded} while an urgent one does. It goes by what stands rather than by
 * events, so that a broker that was away, or has kept something from an earlier run, is set right.
 *
 * <p>{@link #looked} is for one thread, {@link #heard} for any.
 */
final class TroubleTeller implements TroubleListener {

  private static final Logger log = LoggerFactory.getLogger(TroubleTeller.class);

  private final Topics topics;
  private final MqttLink link;
  private final MonitorStatus status;
  private final Map<String, String> said = new HashMap<>();
  private final Set<String> atTheBroker = ConcurrentHashMap.newKeySet();
  private Instant saidFor = Instant.MIN;

  TroubleTeller(Topics topics, MqttLink link, MonitorStatus status) {
    this.topics = topics;
    this.link = link;
    this.status = status;
  }

  /** What the broker has under {@link Topics#monitorTroubleFilter}. */
  void heard(TopicListener.Message message) {
    if (message.payload().length > 0) {
      atTheBroker.add(message.topic());
    } else {
      atTheBroker.remove(message.topic());
    }
  }

  @Override
  public void looked(List<TroubleEvent> events, List<MonitorTrouble> standing) {
    events.forEach(TroubleTeller::log);
    status.degraded(standing.stream().anyMatch(t -> t.priority() == Priority.HIGH));
    status.sayIfNew(link);
    LinkState now = link.state();
    if (!now.connected()) {
      return;
    }
    if (!now.since().equals(saidFor)) {
      saidFor = now.since();
      said.clear();
    }
    Set<String> stand = new HashSet<>();
    for (MonitorTrouble trouble : standing) {
      String topic = topics.monitorTrouble(trouble.key().id());
      stand.add(topic);
      String json = json(trouble);
      if (!json.equals(said.put(topic, json))) {
        publish(topic, json);
      }
    }
    Set<String> over = new HashSet<>(said.keySet());
    over.addAll(atTheBroker);
    over.removeAll(stand);
    for (String topic : over) {
      said.remove(topic);
      atTheBroker.remove(topic);
      publish(topic, "");
    }
  }

  private void publish(String topic, String payload) {
    var unused = link.offer(topic, Services.bytes(payload), 1, true);
  }

  static void log(TroubleEvent event) {
    MonitorTrouble trouble = event.trouble();
    switch (event.event()) {
      case CLEARED -> log.info("over: {}", trouble.words());
      case RAISED -> log.error("{} {}", trouble.words(), trouble.action());
      case CHANGED -> log.warn("{} {}", trouble.words(), trouble.action());
    }
  }

  /** A trouble as JSON. */
  static String json(MonitorTrouble trouble) {
    return node(trouble).toString();
  }

  static ObjectNode node(MonitorTrouble trouble) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    json.put("type", "trouble");
    json.put("id", trouble.key().id());
    json.put("priority", trouble.priority().id());
    json.put("since", WatchJson.time(trouble.since()));
    json.put("message", trouble.words() + " " + trouble.action());
    json.put("words", trouble.words());
    json.put("action", trouble.action());
    return json;
  }
}
