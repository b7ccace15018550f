// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.BookException;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.publish.Topics;
import opercle.analysis.publish.WatchListener;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.FarmMessages;
import opercle.analysis.setup.TopicMessages;
import opercle.analysis.watch.TankState;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.settings.UnusableInputException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Tells the farm in force, and which topics feed it, to services that run apart, and takes from
 * them how it is to be.
 *
 * <p>It is told again every half minute: a service that subscribes at the very moment at which a
 * message is retained may get it neither way.
 */
final class FarmOverMqtt implements WatchListener {

  private static final Logger log = LoggerFactory.getLogger(FarmOverMqtt.class);

  /** In calls of {@link #states}, of which there is one a second. */
  private static final int TOLD_EVERY = 30;

  private final FarmDesk desk;
  private final Topics topics;
  private final MqttLink link;
  private volatile Optional<byte[]> assigned = Optional.empty();
  private int seconds;

  FarmOverMqtt(FarmDesk desk, Topics topics, MqttLink link) {
    this.desk = desk;
    this.topics = topics;
    this.link = link;
    tell(desk.version());
    desk.follow(this::tell);
  }

  private void tell(FarmVersion version) {
    byte[] payload = Services.bytes(FarmMessages.version(version));
    var unused = link.offer(topics.farmNow(), payload, 1, true);
  }

  /** Which topics people assigned to its tanks, from now on. */
  void assigned(List<TopicMapping> mappings) {
    assigned = Optional.of(Services.bytes(TopicMessages.of(mappings)));
    tellAssigned();
  }

  private void tellAssigned() {
    assigned.ifPresent(
        payload -> {
          var unused = link.offer(topics.assignedTopics(), payload, 1, true);
        });
  }

  @Override
  public void events(List<AlarmEvent> events) {}

  @Override
  public void states(List<TankState> states) {
    if (++seconds % TOLD_EVERY == 0) {
      tell(desk.version());
      tellAssigned();
    }
  }

  /** Takes changes from now on. */
  TopicListener listen(MqttSettings settings) {
    return TopicListener.open(settings, List.of(topics.farmChange()), this::heard);
  }

  private void heard(TopicListener.Message message) {
    if (message.retained()) {
      log.warn("{}: a change must not be retained; ignored", message.topic());
      return;
    }
    ActsOverMqtt.answer(link, topics, message, refusal(message));
  }

  private Optional<String> refusal(TopicListener.Message message) {
    try {
      FarmMessages.Change change = FarmMessages.change(message.payload());
      OptionalLong basedOn = OptionalLong.of(change.basedOn());
      var unused =
          change
              .putIn()
              .map(fish -> desk.putIn(basedOn, change.by(), farm -> change.farm(), fish))
              .orElseGet(() -> desk.change(basedOn, change.by(), farm -> change.farm()));
      return Optional.empty();
    } catch (RefusedActException
        | IllegalArgumentException
        | UnusableInputException
        | BookException e) {
      log.warn("{}: not done: {}", message.topic(), e.getMessage());
      return Optional.of(String.valueOf(e.getMessage()));
    }
  }
}
