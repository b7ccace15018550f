// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.time.InstantSource;
import java.util.List;
import java.util.function.Consumer;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Listens to topics that carry no readings: states, acknowledgements.
 *
 * <p>The broker keeps nothing for a listener that is away: states from the night before would only
 * pile up there. On each connection the retained messages come anew; anything else that was
 * published meanwhile is missed, so what must not be lost does not belong here.
 *
 * <p>The listener is called on one thread of the client library and must not wait for the network.
 * A message that it throws at is logged and given up; the next one comes all the same.
 */
public final class TopicListener implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(TopicListener.class);

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
    return open(settings, filters, 1, listener, () -> {});
  }

  /**
   * The same for who minds that what changes meanwhile is not heard.
   *
   * @param lost runs after each connection has ended, before the next; must not wait
   */
  public static TopicListener open(
      MqttSettings settings, List<String> filters, Consumer<Message> listener, Runnable lost) {
    return open(settings, filters, 1, listener, lost);
  }

  /** The same where a message more or less does not matter: the broker has less to do. */
  public static TopicListener openLossy(
      MqttSettings settings, List<String> filters, Consumer<Message> listener) {
    return open(settings, filters, 0, listener, () -> {});
  }

  private static TopicListener open(
      MqttSettings settings,
      List<String> filters,
      int qos,
      Consumer<Message> listener,
      Runnable lost) {
    return new TopicListener(
        MqttLink.subscribe(
            settings,
            filters,
            List.of(),
            new MqttLink.Inbox(
                qos, false, RECEIVE_MAXIMUM, delivery -> hear(delivery, listener), lost),
            InstantSource.system()));
  }

  private static void hear(Delivery delivery, Consumer<Message> listener) {
    try {
      listener.accept(new Message(delivery.topic(), delivery.payload(), delivery.retained()));
    } catch (RuntimeException e) {
      // Thrown on, it would end the connection, and the message would come again for ever.
      LOG.error("a message on {} could not be dealt with and is given up", delivery.topic(), e);
    }
    delivery.acknowledge();
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
