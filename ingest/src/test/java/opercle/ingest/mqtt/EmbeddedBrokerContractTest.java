// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** With the embedded broker in a JVM of its own. */
class EmbeddedBrokerContractTest extends RestartContract {

  @Override
  TestBroker startBroker(Path folder) throws Exception {
    return EmbeddedBrokerProcess.start(folder);
  }

  /** On a busy machine it can see the connection end before it has read the farewell. */
  @Override
  boolean heedsFarewell() {
    return false;
  }

  @Test
  void brokerKilledOutright_keepsAcknowledgedAndRetainedMessages() throws Exception {
    int count = 200;
    connected(builder().start()).close();
    for (int i = 0; i < count; i++) {
      send("temperature", String.valueOf(i / 10.0));
    }
    Instant published = Instant.now();
    probe.publish(topic("ph"), "7.5".getBytes(UTF_8), 1, true).get();

    broker.kill();
    broker.restart();

    try (SensorSubscriber subscriber = builder().start()) {
      await().atMost(PATIENCE).until(() -> subscriber.messages() >= count + 1);
      assertThat(sink.values().subList(0, count))
          .isEqualTo(IntStream.range(0, count).mapToObj(i -> i / 10.0).toList());
      // A bare number, but the broker knows when it came.
      assertThat(sink.taken().get(count).time())
          .isCloseTo(published, within(5, ChronoUnit.SECONDS));
    }
    probe.publish(topic("ph"), new byte[0], 1, true).get();
  }

  @Test
  void realPublisher_isUnderstood() throws Exception {
    try (SensorSubscriber subscriber = connected(builder().start())) {
      LocalMosquitto.publish(broker.uri(), topic("oxygen"), "8.62");
      LocalMosquitto.publish(
          broker.uri(), "tanks/" + name, "[{\"n\":\"oxygen\",\"v\":8.6},{\"n\":\"ph\",\"v\":7}]");
      LocalMosquitto.publish(broker.uri(), topic("oxygen"), "8.63", "-V", "mqttv5");

      await().atMost(PATIENCE).until(() -> subscriber.messages() == 3);
      assertThat(sink.values()).containsExactly(8.62, 8.6, 7.0, 8.63);
    }
  }
}
