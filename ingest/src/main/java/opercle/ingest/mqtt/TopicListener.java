// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.time.InstantSource;
import java.util.List;
import java.util.function.Consumer;

/**
 * Listens to topics that carry no readings: states, acknowledgements.
 *
 * <p>A message is acknowledged as soon as the listener has returned, so one that must not be lost
 * does not belong here. The listener is called on one thread of the client library and must not
 * wait for the network; what it throws is the link's trouble, so it should throw nothing.
 */
public final class TopicListener implements AutoCloseable {

  private static final int RECEIVE_MAXIMUM = 1_000;

  private final MqttLink link;

  private TopicListener(MqttLink link) {
    this.link = link;
  }

  /**
   * A message.
   *
   * @param topic its topic
   * @param payload its bytes; empty where a retained message is being taken away
   * @param retained whether the broker had kept it, so that it may be old
   */
  @SuppressWarnings("ArrayRecordComponent") // handed over, never compared
  public record Message(String topic, byte[] payload, boolean retained) {}

  /** Starts listening; does not wait for the broker. */
  public static TopicListener open(
      MqttSettings settings, List<String> filters, Consumer<Message> listener) {
    return new TopicListener(
        MqttLink.subscribe(
            settings,
            filters,
            RECEIVE_MAXIMUM,
            InstantSource.system(),
            delivery -> {
              listener.accept(
                  new Message(delivery.topic(), delivery.payload(), delivery.retained()));
              delivery.acknowledge();
            }));
  }

  /** How the link to the broker stands. */
  public LinkState linkState() {
    return link.state();
  }

  @Override
  public void close() {
    link.close();
  }
}
