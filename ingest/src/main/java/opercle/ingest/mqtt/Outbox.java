// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Predicate;

/**
 * QoS 1 messages that the broker has not acknowledged: those in flight on the present connection,
 * and those that wait their turn behind them, in order. The owner's lock guards it.
 */
final class Outbox {

  private final int most;
  private final Set<Outgoing> inFlight = new LinkedHashSet<>();
  private final Deque<Outgoing> waiting = new ArrayDeque<>();

  Outbox(int most) {
    this.most = most;
  }

  boolean isFull() {
    return inFlight.size() + waiting.size() >= most;
  }

  void add(Outgoing message) {
    waiting.addLast(message);
  }

  /** Offers the waiting messages in order until one is not taken. */
  void sendWaiting(Predicate<Outgoing> send) {
    while (!waiting.isEmpty()) {
      Outgoing message = waiting.removeFirst();
      inFlight.add(message); // first, for the acknowledgement may be quicker than we are
      if (!send.test(message)) {
        if (inFlight.remove(message)) {
          waiting.addFirst(message);
        }
        return;
      }
    }
  }

  void remove(Outgoing message) {
    if (!inFlight.remove(message)) {
      waiting.remove(message); // acknowledged on a connection that had been given up
    }
  }

  /** A new connection knows nothing of what was in flight on the old one. */
  void sendAllAgain() {
    List<Outgoing> again = new ArrayList<>(inFlight);
    inFlight.clear();
    for (int i = again.size() - 1; i >= 0; i--) {
      waiting.addFirst(again.get(i));
    }
  }

  void failAll(String why) {
    List<Outgoing> all = new ArrayList<>(inFlight);
    all.addAll(waiting);
    inFlight.clear();
    waiting.clear();
    all.forEach(message -> message.fail(why));
  }
}
