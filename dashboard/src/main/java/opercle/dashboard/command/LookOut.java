// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.InstantSource;
import java.util.List;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.payload.UnknownTopics;

/**
 * An ear for topics that no tank claims. On a session of its own and at QoS 0, so that no flood of
 * theirs holds up a probe; what Opercle itself publishes is let go at once.
 */
final class LookOut {

  private static final String EVERYTHING = "#";
  private static final String OUR_OWN = "opercle/";

  private final UnknownTopics unknown;
  private final SensorSubscriber subscriber;
  private final InstantSource clock;

  LookOut(UnknownTopics unknown, SensorSubscriber subscriber, InstantSource clock) {
    this.unknown = unknown;
    this.subscriber = subscriber;
    this.clock = clock;
  }

  /** Listens from now on. */
  TopicListener open(MqttSettings settings) {
    return TopicListener.openLossy(settings, List.of(EVERYTHING), this::heard);
  }

  private void heard(TopicListener.Message message) {
    boolean live = !message.retained(); // what the broker had kept may be of last year
    if (live && !message.topic().startsWith(OUR_OWN) && !subscriber.claims(message.topic())) {
      unknown.heard(message.topic(), message.payload(), clock.instant());
    }
  }
}
