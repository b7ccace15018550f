// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** With a real Mosquitto, which allows only twenty messages in flight towards itself. */
class MosquittoContractTest extends RestartContract {

  @Override
  TestBroker startBroker(Path folder) throws Exception {
    return LocalMosquitto.start(folder, LocalMosquitto.freePort(), "max_inflight_messages 20");
  }

  /** The broker keeps a session with what it was subscribed to before it was one of several. */
  @Test
  void sharingThatIsBegun_takesEachReadingOnce() throws Exception {
    try (SensorSubscriber alone = connected(builder().start())) {
      send("oxygen", "7.5");
      await().atMost(PATIENCE).until(() -> alone.messages() == 1);
    }
    try (SensorSubscriber shares = connected(builder().sharedAs("yard").start())) {
      for (int i = 0; i < 10; i++) {
        send("oxygen", "8." + i);
      }
      send("temperature", "12.5");
      await().atMost(PATIENCE).until(() -> sink.values().contains(12.5));
      assertThat(shares.messages()).isEqualTo(11);
      assertThat(sink.values()).hasSize(12);
    }
  }
}
