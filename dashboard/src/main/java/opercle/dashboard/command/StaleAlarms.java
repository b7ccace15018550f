// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.publish.Topics;
import opercle.analysis.publish.WatchJson;
import opercle.analysis.publish.WatchListener;
import opercle.analysis.publish.WatchService;
import opercle.analysis.watch.TankState;
import opercle.ingest.mqtt.LinkState;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.TopicListener;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Sets right what the broker has kept from an earlier run: takes away retained alarms that have
 * ended since, and puts back those that stand but that the broker has lost, as one without a disk
 * does in a power cut: a siren that connects must find them. The latter after each new connection,
 * once the broker has had time to say what it has.
 *
 * <p>Not at once: after a start nothing is proven, and a siren must not fall silent because Opercle
 * was restarted. An alarm goes when its tank has had fresh oxygen readings for a while and the
 * watch does not raise it again, or when the farm has no such tank any longer.
 */
final class StaleAlarms implements WatchListener {

  private static final Logger log = LoggerFactory.getLogger(StaleAlarms.class);
  private static final Duration PROVEN_AFTER = Duration.ofMinutes(2);
  private static final Duration SAID_WITHIN = Duration.ofSeconds(20);

  private final Topics topics;
  private final InstantSource clock;
  private final MqttLink link;
  private final Instant start;
  private final Set<String> inherited = new HashSet<>();
  private final Set<String> atTheBroker = new HashSet<>();
  private boolean restored;
  private Instant restoreAt;
  private Optional<Instant> connectedSince = Optional.empty();

  StaleAlarms(Topics topics, InstantSource clock, MqttLink link) {
    this.topics = topics;
    this.clock = clock;
    this.link = link;
    this.start = clock.instant();
    this.restoreAt = start.plus(PROVEN_AFTER);
  }

  /** A message on an alarm's topic; only what the broker had kept is of interest. */
  synchronized void heard(TopicListener.Message message) {
    if (message.retained() && message.payload().length > 0) {
      inherited.add(message.topic());
      atTheBroker.add(message.topic());
    }
  }

  @Override
  public synchronized void events(List<AlarmEvent> events) {
    for (AlarmEvent event : events) {
      String topic = topics.alarm(event.tank(), event.cause());
      inherited.remove(topic); // the announcer has it now
      atTheBroker.add(topic);
    }
  }

  @Override
  public synchronized void states(List<TankState> states) {
    followConnection();
    Instant now = clock.instant();
    if (!restored && !now.isBefore(restoreAt)) {
      restored = true;
      states.forEach(state -> state.alarms().forEach(this::putBack));
      atTheBroker.clear();
    }
    if (inherited.isEmpty() || now.isBefore(start.plus(PROVEN_AFTER))) {
      return;
    }
    inherited.removeIf(
        topic ->
            states.stream().noneMatch(state -> topics.isAlarmOf(state.tank(), topic))
                && takeAway(topic, "is of a tank that the farm no longer has"));
    for (TankState state : states) {
      if (state.oxygenMgPerL().isPresent()) {
        Set<String> standing = new HashSet<>();
        for (Alarm alarm : state.alarms()) {
          standing.add(topics.alarm(alarm.tank(), alarm.cause()));
        }
        inherited.removeIf(
            topic -> topics.isAlarmOf(state.tank(), topic) && remove(topic, standing));
      }
    }
  }

  /** A broker that was away may have forgotten everything. */
  private void followConnection() {
    LinkState now = link.state();
    if (!now.connected() || connectedSince.equals(Optional.of(now.since()))) {
      return;
    }
    if (connectedSince.isPresent()) {
      atTheBroker.clear();
      restored = false;
      Instant said = clock.instant().plus(SAID_WITHIN);
      restoreAt = said.isAfter(restoreAt) ? said : restoreAt;
    }
    connectedSince = Optional.of(now.since());
  }

  private boolean remove(String topic, Set<String> standing) {
    return standing.contains(topic)
        || takeAway(topic, "stood when Opercle was last stopped and has ended since");
  }

  private void putBack(Alarm alarm) {
    String topic = topics.alarm(alarm.tank(), alarm.cause());
    if (!atTheBroker.contains(topic)) {
      log.info("{} stands, but the broker no longer had it", topic);
      String event = WatchJson.alarm(WatchService.standingSince(alarm));
      var unused = link.offer(topic, Services.bytes(event), 1, true);
    }
  }

  private boolean takeAway(String topic, String why) {
    log.info("{} {}", topic, why);
    var unused = link.offer(topic, new byte[0], 1, true);
    return true;
  }
}
