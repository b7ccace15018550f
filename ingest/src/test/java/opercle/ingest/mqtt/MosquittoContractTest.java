// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.util.Set;
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

  /**
   * Nor would a session forget by itself the share that it was in. Another share than above: the
   * broker keeps the turn of whoever shared there.
   */
  @Test
  void shareThatIsRenamedOrEnded_isLeft_andEachReadingTakenOnce() throws Exception {
    try (SensorSubscriber barn = connected(builder().sharedAs("barn").start())) {
      send("oxygen", "7.5");
      await().atMost(PATIENCE).untilAsserted(() -> assertThat(barn.messages()).isEqualTo(1));
    }
    try (SensorSubscriber shed =
        connected(builder().sharedAs("shed").onceSharedAs(Set.of("barn", "shed")).start())) {
      send("oxygen", "7.6");
      send("temperature", "12.5");
      await().atMost(PATIENCE).until(() -> sink.values().contains(12.5));
      assertThat(shed.messages()).isEqualTo(2);
    }
    try (SensorSubscriber alone =
        connected(builder().onceSharedAs(Set.of("barn", "shed")).start())) {
      send("oxygen", "7.7");
      send("temperature", "13.5");
      await().atMost(PATIENCE).until(() -> sink.values().contains(13.5));
      assertThat(alone.messages()).isEqualTo(2);
      assertThat(sink.values()).hasSize(5);
    }
  }
}
