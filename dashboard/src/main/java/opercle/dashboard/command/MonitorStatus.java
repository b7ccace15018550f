// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.publish.Topics;
import opercle.analysis.publish.WatchJson;
import opercle.analysis.publish.WatchListener;
import opercle.analysis.watch.TankState;
import opercle.ingest.mqtt.LinkState;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.Will;

/**
 * Says over MQTT that the watch is there: a retained {@code online}, or {@code degraded} while
 * something urgent is wrong with the monitor itself, said again after each new connection, and a
 * last will that the broker publishes when the connection breaks. For any thread.
 */
final class MonitorStatus {

  private final Topics topics;
  private final InstantSource clock;
  private Instant saidFor = Instant.MIN;
  private String said = "";
  private String word = "online";

  MonitorStatus(Topics topics, InstantSource clock) {
    this.topics = topics;
    this.clock = clock;
  }

  /**
   * What the broker says when we are gone without a farewell; its time is that of our last start.
   */
  Will will() {
    return new Will(topics.monitor(), payload("offline", "startedAt"), true);
  }

  /** Says {@code online} whenever the link is new; asked once a second, with the states. */
  WatchListener on(MqttLink link) {
    return new WatchListener() {
      @Override
      public void events(List<AlarmEvent> events) {}

      @Override
      public void states(List<TankState> states) {
        sayIfNew(link);
      }
    };
  }

  /** Whether something urgent is wrong with the monitor itself. */
  synchronized void degraded(boolean isDegraded) {
    word = isDegraded ? "degraded" : "online";
  }

  /** Says how the monitor is, if the broker has not heard it yet. */
  synchronized void sayIfNew(MqttLink link) {
    LinkState state = link.state();
    if (state.connected() && !(state.since().equals(saidFor) && word.equals(said))) {
      saidFor = state.since();
      said = word;
      var unused = link.offer(topics.monitor(), payload(word, "time"), 1, true);
    }
  }

  /** Says {@code offline} on purpose. */
  synchronized void farewell(MqttLink link) {
    var unused = link.offer(topics.monitor(), payload("offline", "time"), 1, true);
  }

  private byte[] payload(String status, String timeKey) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    json.put("status", status);
    json.put(timeKey, WatchJson.time(clock.instant()));
    return Services.bytes(json.toString());
  }
}
