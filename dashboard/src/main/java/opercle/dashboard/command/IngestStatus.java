// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
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
 * will too. It says so anew every twenty seconds: a broker that dies with it tells no last will,
 * and goes on handing out the last word. For one thread.
 */
final class IngestStatus implements TroubleListener {

  static final String OFFLINE = "offline";

  /** How often it says so at least. */
  static final Duration EVERY = Duration.ofSeconds(20);

  private final String topic;
  private final InstantSource clock;
  private final MqttLink link;
  private final Optional<String> bucket;
  private String said = "";
  private Instant saidAt = Instant.EPOCH;

  private IngestStatus(String topic, InstantSource clock, MqttLink link, Optional<String> bucket) {
    this.topic = topic;
    this.clock = clock;
    this.link = link;
    this.bucket = bucket;
  }

  /** What the broker says when this process is gone without a farewell. */
  static Will will(String topic, InstantSource clock) {
    String payload = json(OFFLINE).put("startedAt", WatchJson.time(clock.instant())).toString();
    return new Will(topic, Services.bytes(payload), true);
  }

  /**
   * @param bucket of the InfluxDB that the readings go to; empty: they go to a file
   */
  static IngestStatus on(
      String topic, InstantSource clock, MqttLink link, Optional<String> bucket) {
    return new IngestStatus(topic, clock, link, bucket);
  }

  @Override
  public void looked(List<TroubleEvent> events, List<MonitorTrouble> standing) {
    events.forEach(TroubleTeller::log);
    LinkState now = link.state();
    ObjectNode json = json(standing.isEmpty() ? "online" : "degraded");
    ArrayNode troubles = json.putArray("troubles");
    standing.forEach(trouble -> troubles.add(TroubleTeller.node(trouble)));
    String word = now.since() + " " + json;
    Instant at = clock.instant();
    if (now.connected() && (!word.equals(said) || isDue(at))) {
      said = word;
      saidAt = at;
      publish(json);
    }
  }

  /** Also where the clock was put back. */
  private boolean isDue(Instant now) {
    return now.isBefore(saidAt) || !now.isBefore(saidAt.plus(EVERY));
  }

  /** Says {@code offline} on purpose. */
  void farewell() {
    publish(json(OFFLINE));
  }

  private void publish(ObjectNode json) {
    json.put("time", WatchJson.time(clock.instant()));
    json.put("everySeconds", EVERY.toSeconds());
    json.put("store", bucket.isPresent() ? "influxdb" : "file");
    bucket.ifPresent(b -> json.put("bucket", b));
    var unused = link.offer(topic, Services.bytes(json.toString()), 1, true);
  }

  private static ObjectNode json(String status) {
    return JsonNodeFactory.instance.objectNode().put("type", "ingest").put("status", status);
  }
}
