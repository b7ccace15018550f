// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.farm.Farm;
import opercle.analysis.publish.AcknowledgementTopic;
import opercle.analysis.publish.StateReader;
import opercle.analysis.publish.Topics;
import opercle.analysis.watch.TankState;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.NotTaken;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.TopicListener;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The farm as another process watches it: states come over MQTT, acknowledgements go back the same
 * way. What was not taken is known to the ingest process only, whose log tells it.
 */
final class RemoteFarm implements LiveFarm {

  private static final Logger log = LoggerFactory.getLogger(RemoteFarm.class);

  // The watch tells a state once a second. One that is this old is no longer what the watch
  // believes.
  private static final Duration TOO_OLD = Duration.ofSeconds(15);

  private final Farm farm;
  private final InstantSource clock;
  private final Topics topics;
  private final MqttLink link;
  private final Map<String, TankState> newest = new ConcurrentHashMap<>();

  RemoteFarm(Farm farm, InstantSource clock, Topics topics, MqttLink link) {
    this.farm = farm;
    this.clock = clock;
    this.topics = topics;
    this.link = link;
  }

  /** A tank state that came over MQTT. */
  void heard(TopicListener.Message message) {
    if (message.payload().length == 0) {
      return;
    }
    try {
      TankState state = StateReader.read(new String(message.payload(), StandardCharsets.UTF_8));
      newest.put(state.tank(), state);
    } catch (JsonProcessingException | IllegalArgumentException e) {
      log.warn("{} holds no tank state that can be read: {}", message.topic(), e.getMessage());
    }
  }

  @Override
  public Farm farm() {
    return farm;
  }

  @Override
  public Instant now() {
    return clock.instant();
  }

  /**
   * The newest states, old ones too: an alarm that stands must not vanish because the watch is
   * away.
   */
  @Override
  public List<TankState> states() {
    return List.copyOf(newest.values());
  }

  @Override
  public void acknowledge(String tank, AlarmCause cause, String by) {
    var unused =
        link.offer(
            topics.acknowledge(tank, cause),
            Services.bytes(AcknowledgementTopic.payload(by)),
            1,
            false);
  }

  @Override
  public NotTaken notTaken() {
    return NotTaken.NOTHING;
  }

  @Override
  public List<String> troubles() {
    Optional<String> lost = link.state().trouble();
    if (lost.isPresent()) {
      return List.of("No news of the tanks arrives: " + lost.get() + ".");
    }
    Instant oldest = clock.instant().minus(TOO_OLD);
    boolean silent = newest.values().stream().allMatch(state -> state.time().isBefore(oldest));
    return silent
        ? List.of("The watch is silent. What stands here is old: look at the tanks.")
        : List.of();
  }
}
