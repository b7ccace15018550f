// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.util.Optional;
import java.util.stream.Stream;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.publish.ActTopics;
import opercle.analysis.publish.TankAct;
import opercle.analysis.publish.Topics;
import opercle.analysis.publish.WatchService;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Takes what people do at tanks from MQTT to the watch, and answers whether it was done. */
final class ActsOverMqtt {

  private static final Logger log = LoggerFactory.getLogger(ActsOverMqtt.class);

  private final WatchService watch;
  private final Topics topics;
  private final ActTopics acts;
  private final MqttLink link;
  private final StaleAlarms stale;

  /**
   * @param stale told of alarms that the broker has kept, which come the same way
   */
  ActsOverMqtt(WatchService watch, Topics topics, MqttLink link, StaleAlarms stale) {
    this.watch = watch;
    this.topics = topics;
    this.acts = new ActTopics(topics);
    this.link = link;
    this.stale = stale;
  }

  /** Takes acts from now on. */
  TopicListener listen(MqttSettings settings) {
    return TopicListener.open(
        settings,
        Stream.concat(acts.filters().stream(), Stream.of(topics.alarmFilter())).toList(),
        message -> {
          stale.heard(message);
          perform(message).ifPresent(refusal -> answer(link, topics, message, refusal));
        });
  }

  /** Does what somebody asks for; why it was not done, or empty text; empty where it is no act. */
  private Optional<Optional<String>> perform(TopicListener.Message message) {
    Optional<TankAct> read = acts.read(message.topic(), message.payload());
    if (read.isEmpty()) {
      return Optional.empty();
    }
    TankAct act = read.get();
    if (message.retained()) {
      // It was meant for some earlier alarm, and must not silence the next one.
      log.warn("{}: what somebody does must not be retained; ignored", message.topic());
      return Optional.empty();
    }
    if (watch.farm().tank(act.tank()).isEmpty()) {
      log.warn("{}: the farm has no such tank; ignored", message.topic());
      return Optional.of(Optional.of("The watch knows of no such tank."));
    }
    try {
      watch.perform(act);
      return Optional.of(Optional.empty());
    } catch (RefusedActException e) {
      log.warn("{}: not done for {}: {}", message.topic(), act.by(), e.getMessage());
      return Optional.of(Optional.of(String.valueOf(e.getMessage())));
    }
  }

  static void answer(
      MqttLink link, Topics topics, TopicListener.Message message, Optional<String> refusal) {
    ActTopics.id(message.payload())
        .ifPresent(
            id ->
                Services.publish(
                    link,
                    topics.answer(id),
                    Services.bytes(new ActTopics.Answer(id, refusal).payload()),
                    false));
  }
}
