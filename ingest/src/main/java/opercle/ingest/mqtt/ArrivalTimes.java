// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import opercle.ingest.store.Arrival;

/**
 * Decides when a message arrived, so that a reading without a time of its own gets one and the same
 * time however often its message is delivered.
 *
 * <p>Three rules, in order:
 *
 * <ol>
 *   <li>If the broker notes the arrival on the message, as the embedded one does, that is it.
 *   <li>If the connection resumed a session, its first messages may be ones that had been delivered
 *       and not acknowledged. The standard has the broker send these again, in order and with their
 *       packet ids, before anything else (MQTT 5, 4.4 and 4.6); acknowledgements are given in
 *       order, so they are the tail of what was delivered. The first message is looked up, the
 *       latest first, by packet id and content; then each next one must be the next of the tail.
 *       With the first that is not, or the end of the tail, all further messages are new.
 *   <li>Otherwise it is the time of reception, but at least a millisecond after the last message of
 *       the same topic: two readings of one probe never share a time.
 * </ol>
 *
 * <p>Limits. A broker that gives new packet ids on redelivery and does not note the arrival can
 * bring a bare number twice after a crash. A broker that had dealt with the last acknowledgements,
 * and gives the same packet id to a new message of the same topic and content, makes that new
 * reading look like the old one: it is lost, next to one of equal value. Messages with times of
 * their own are touched by neither.
 *
 * <p>One thread only; the thread that sees messages in the order of delivery.
 */
final class ArrivalTimes {

  private static final int MOST_TOPICS = 10_000;
  private static final Duration STEP = Duration.ofMillis(1);

  /** Stands in the log where a session began: nothing from before it can come again. */
  private static final int SESSION_START = 0;

  private final int window;
  private final List<Arrival> delivered = new ArrayList<>();
  private final List<Arrival> unrecorded = new ArrayList<>();
  private final Map<String, Instant> latestOfTopic =
      new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<String, Instant> eldest) {
          return size() > MOST_TOPICS;
        }
      };

  private int connection;

  /** Where in {@link #delivered} the next redelivery must be; at its end if none is expected. */
  private int expected;

  private boolean atStart;
  private int tailEnd;

  /**
   * @param recorded what the arrivals log holds, oldest first
   * @param window as many messages as the broker may send before one is acknowledged
   */
  ArrivalTimes(List<Arrival> recorded, int window) {
    this.window = window;
    for (Arrival arrival : recorded) {
      if (arrival.packetId() == SESSION_START) {
        delivered.clear();
      } else {
        delivered.add(arrival);
      }
    }
  }

  /** When the message arrived first, to the millisecond. */
  Instant timeOf(Delivery delivery) {
    if (delivery.connection() != connection) {
      begin(delivery);
    }
    if (delivery.brokerArrival().isPresent()) {
      return delivery.brokerArrival().get();
    }
    if (delivery.qos() == 0) {
      return afterLast(delivery);
    }
    long fingerprint = fingerprint(delivery.topic(), delivery.payload());
    Instant time = redelivered(delivery.packetId(), fingerprint, delivery);
    remember(new Arrival(delivery.packetId(), fingerprint, time));
    return time;
  }

  /** Those that the log does not have yet, in order of delivery; each is given once. */
  List<Arrival> takeUnrecorded() {
    List<Arrival> taken = List.copyOf(unrecorded);
    unrecorded.clear();
    return taken;
  }

  private void begin(Delivery first) {
    connection = first.connection();
    if (!first.resumed()) {
      delivered.clear();
      unrecorded.add(new Arrival(SESSION_START, 0, first.received()));
    }
    atStart = true;
    tailEnd = delivered.size();
    expected = tailEnd;
  }

  private Instant redelivered(int packetId, long fingerprint, Delivery delivery) {
    if (atStart) {
      atStart = false;
      expected = lastIndexOf(packetId, fingerprint);
    }
    if (expected < tailEnd) {
      Arrival candidate = delivered.get(expected);
      if (candidate.packetId() == packetId && candidate.fingerprint() == fingerprint) {
        expected++;
        return candidate.time();
      }
      expected = tailEnd;
    }
    return afterLast(delivery);
  }

  private int lastIndexOf(int packetId, long fingerprint) {
    for (int i = tailEnd - 1; i >= 0; i--) {
      Arrival arrival = delivered.get(i);
      if (arrival.packetId() == packetId && arrival.fingerprint() == fingerprint) {
        return i;
      }
    }
    return tailEnd;
  }

  private void remember(Arrival arrival) {
    delivered.add(arrival);
    unrecorded.add(arrival);
    if (delivered.size() >= 4 * window && expected >= tailEnd) {
      delivered.subList(0, delivered.size() - window).clear(); // seldom, as it moves the rest
      tailEnd = 0;
      expected = 0;
    }
  }

  private Instant afterLast(Delivery delivery) {
    Instant received = Instant.ofEpochMilli(delivery.received().toEpochMilli());
    Instant last = latestOfTopic.get(delivery.topic());
    // A clock that was set back by more than a moment is believed: its readings belong to now.
    boolean tooEarly =
        last != null
            && !received.isAfter(last)
            && Duration.between(received, last).compareTo(Duration.ofMinutes(1)) < 0;
    Instant time = last != null && tooEarly ? last.plus(STEP) : received;
    latestOfTopic.put(delivery.topic(), time);
    return time;
  }

  /** 64-bit FNV-1a over topic, a zero byte and payload, its bits then mixed. */
  static long fingerprint(String topic, byte[] payload) {
    long hash = 0xcbf29ce484222325L;
    for (byte b : topic.getBytes(StandardCharsets.UTF_8)) {
      hash = (hash ^ (b & 0xff)) * 0x100000001b3L;
    }
    hash *= 0x100000001b3L;
    for (byte b : payload) {
      hash = (hash ^ (b & 0xff)) * 0x100000001b3L;
    }
    return hash ^ (hash >>> 29);
  }
}
