// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import io.netty.handler.codec.mqtt.MqttMessage;
import io.netty.handler.codec.mqtt.MqttSubscribeMessage;
import io.netty.handler.codec.mqtt.MqttTopicSubscription;
import io.netty.handler.codec.mqtt.MqttUnsubscribeMessage;
import java.util.List;
import java.util.Set;
import org.apache.activemq.artemis.core.protocol.mqtt.MQTTInterceptor;
import org.apache.activemq.artemis.spi.core.protocol.RemotingConnection;

/**
 * Ends connections that ask for another's queue. In the embedded broker a shared subscription is
 * the queue that is called by the share's name and the filter, as a session's is by its client id
 * and the filter: a share that is called {@code opercle-serve} would take readings out of Opercle's
 * own session, and one that is refused for want of rights would even delete it. So it is stopped
 * before the broker sees it. The broker's own way to name a queue, {@code address::queue}, too.
 */
final class SubscriptionGuard implements MQTTInterceptor {

  private static final String SHARE = "$share/";
  private static final String QUEUE_OF_ADDRESS = "::";

  private final Set<String> keptWhole;
  private final boolean sharesAllowed;

  /**
   * @param keptWhole client ids by which no share may be called
   * @param sharesAllowed whether there may be shares at all
   */
  SubscriptionGuard(Set<String> keptWhole, boolean sharesAllowed) {
    this.keptWhole = Set.copyOf(keptWhole);
    this.sharesAllowed = sharesAllowed;
  }

  @Override
  public boolean intercept(MqttMessage packet, RemotingConnection connection) {
    if (packet instanceof MqttSubscribeMessage subscribe) {
      return subscribe.payload().topicSubscriptions().stream()
          .map(MqttTopicSubscription::topicFilter)
          .allMatch(this::isFine);
    }
    if (packet instanceof MqttUnsubscribeMessage unsubscribe) {
      List<String> filters = unsubscribe.payload().topics();
      return filters.stream().allMatch(this::isFine);
    }
    return true;
  }

  private boolean isFine(String filter) {
    if (filter.contains(QUEUE_OF_ADDRESS)) {
      return false;
    }
    return !filter.startsWith(SHARE)
        || (sharesAllowed
            && keptWhole.stream().noneMatch(filter.substring(SHARE.length())::startsWith));
  }
}
