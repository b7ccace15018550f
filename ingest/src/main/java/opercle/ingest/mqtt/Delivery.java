// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;

/**
 * One message as it came from the broker. It stays the broker's until it is acknowledged, and comes
 * again after the next connect if it was not.
 *
 * @param topic the topic
 * @param payload the bytes, not copied; leave them as they are
 * @param qos 0 or 1
 * @param packetId the MQTT packet identifier, 0 with QoS 0
 * @param retained whether the broker had kept the message for new subscribers
 * @param brokerArrival when the broker took the message, where the broker says so (see {@link
 *     EmbeddedBroker#ARRIVAL_PROPERTY}). At another broker a client may write such a note itself;
 *     one from more than a day ahead is left out, as it would put all later readings in its shade
 * @param received when this program took it
 * @param connection counts the connections of one link, from 1
 * @param resumed whether that connection went on with an earlier session, so that its first
 *     messages may be deliveries for the second time
 * @param acknowledgement what {@link #acknowledge} runs
 */
@SuppressWarnings("ArrayRecordComponent") // never compared, and copying would cost each message
record Delivery(
    String topic,
    byte[] payload,
    int qos,
    int packetId,
    boolean retained,
    Optional<Instant> brokerArrival,
    Instant received,
    int connection,
    boolean resumed,
    Runnable acknowledgement) {

  private static final Duration NOTE_FURTHEST_AHEAD = Duration.ofDays(1);

  Delivery {
    Instant latest = received.plus(NOTE_FURTHEST_AHEAD);
    brokerArrival = brokerArrival.filter(note -> note.isBefore(latest));
  }

  /**
   * Tells the broker that the message is in safe hands. Never throws: if its connection is gone,
   * the message will come again.
   */
  void acknowledge() {
    acknowledgement.run();
  }
}
