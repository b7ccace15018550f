// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.InstantSource;
import java.util.List;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleEvent;
import opercle.analysis.publish.WatchJson;
import opercle.dashboard.monitor.TroubleListener;
import opercle.ingest.mqtt.LinkState;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.Will;

/**
 * How an {@code ingest} of its own is, retained on a topic of its own, for the watch to tell people
 * of: {@code online}, {@code degraded} with what is wrong, or {@code offline}, which is the last
 * will too. For one thread.
 */
final class IngestStatus implements TroubleListener {

  static final String OFFLINE = "offline";

  private final String topic;
  private final InstantSource clock;
  private final MqttLink link;
  private String said = "";

  private IngestStatus(String topic, InstantSource clock, MqttLink link) {
    this.topic = topic;
    this.clock = clock;
    this.link = link;
  }

  /** What the broker says when this process is gone without a farewell. */
  static Will will(String topic, InstantSource clock) {
    String payload = json(OFFLINE).put("startedAt", WatchJson.time(clock.instant())).toString();
    return new Will(topic, Services.bytes(payload), true);
  }

  static IngestStatus on(String topic, InstantSource clock, MqttLink link) {
    return new IngestStatus(topic, clock, link);
  }

  @Override
  public void looked(List<TroubleEvent> events, List<MonitorTrouble> standing) {
    events.forEach(TroubleTeller::log);
    LinkState now = link.state();
    ObjectNode json = json(standing.isEmpty() ? "online" : "degraded");
    ArrayNode troubles = json.putArray("troubles");
    standing.forEach(trouble -> troubles.add(TroubleTeller.node(trouble)));
    String word = now.since() + " " + json;
    if (now.connected() && !word.equals(said)) {
      said = word;
      publish(json);
    }
  }

  /** Says {@code offline} on purpose. */
  void farewell() {
    publish(json(OFFLINE));
  }

  private void publish(ObjectNode json) {
    json.put("time", WatchJson.time(clock.instant()));
    var unused = link.offer(topic, Services.bytes(json.toString()), 1, true);
  }

  private static ObjectNode json(String status) {
    return JsonNodeFactory.instance.objectNode().put("type", "ingest").put("status", status);
  }
}
