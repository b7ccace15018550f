// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.util.Optional;
import java.util.concurrent.CompletableFuture;

/** A message on its way to the broker; compared by identity. Safe for many threads. */
final class Outgoing {

  private final String topic;
  private final byte[] payload;
  private final int qos;
  private final boolean retained;
  private final CompletableFuture<Void> done = new CompletableFuture<>();

  Outgoing(String topic, byte[] payload, int qos, boolean retained) {
    if (qos != 0 && qos != 1) {
      throw new IllegalArgumentException("qos must be 0 or 1 but was " + qos);
    }
    this.topic = topic;
    this.payload = payload;
    this.qos = qos;
    this.retained = retained;
  }

  String topic() {
    return topic;
  }

  byte[] payload() {
    return payload;
  }

  int qos() {
    return qos;
  }

  boolean retained() {
    return retained;
  }

  CompletableFuture<Void> done() {
    return done;
  }

  /** Completes the future: well if there is no refusal. */
  void settle(Optional<String> refusal) {
    if (refusal.isPresent()) {
      fail(refusal.get());
    } else {
      done.complete(null);
    }
  }

  void fail(String why) {
    done.completeExceptionally(
        new MqttLinkException("the message on %s was not published: %s".formatted(topic, why)));
  }
}
