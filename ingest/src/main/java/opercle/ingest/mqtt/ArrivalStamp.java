// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.time.InstantSource;
import java.util.LinkedHashMap;
import java.util.Map;
import org.apache.activemq.artemis.api.core.Message;
import org.apache.activemq.artemis.core.server.ServerSession;
import org.apache.activemq.artemis.core.server.plugin.ActiveMQServerMessagePlugin;
import org.apache.activemq.artemis.core.transaction.Transaction;

/**
 * Notes on every message when the embedded broker took it, as an MQTT 5 user property that is
 * journalled with the message. So a bare number that waits in a session, is retained, or is
 * delivered twice keeps the one time at which it really came. No two messages of one topic get the
 * same millisecond.
 */
final class ArrivalStamp implements ActiveMQServerMessagePlugin {

  private static final int MOST_TOPICS = 10_000;

  /** How the broker's MQTT module keeps user properties: their number, and prefix.position.key. */
  private static final String COUNT_KEY = "mqtt.user.property.exists";

  private static final String KEY_PREFIX = "mqtt.ordered.user.property.";

  private final InstantSource clock;
  private final Map<String, Long> latestOfTopic =
      new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<String, Long> eldest) {
          return size() > MOST_TOPICS;
        }
      };

  ArrivalStamp(InstantSource clock) {
    this.clock = clock;
  }

  @Override
  public void beforeSend(
      ServerSession session,
      Transaction transaction,
      Message message,
      boolean direct,
      boolean noAutoCreateQueue) {
    int count = message.containsProperty(COUNT_KEY) ? message.getIntProperty(COUNT_KEY) : 0;
    message.putStringProperty(
        KEY_PREFIX + count + "." + EmbeddedBroker.ARRIVAL_PROPERTY,
        Long.toString(next(String.valueOf(message.getAddress()))));
    message.putIntProperty(COUNT_KEY, count + 1);
  }

  private synchronized long next(String topic) {
    long now = clock.millis();
    Long last = latestOfTopic.get(topic);
    // A clock that was set back by more than a moment is believed.
    long time = last != null && now <= last && last - now < 60_000 ? last + 1 : now;
    latestOfTopic.put(topic, time);
    return time;
  }
}
