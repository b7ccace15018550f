// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class EmbeddedBrokerTest {

  @TempDir Path folder;

  @Test
  void freePort_isChosenAndAllThreadsAreGoneAfterwards() throws Exception {
    Set<Thread> before = Thread.getAllStackTraces().keySet();
    try (EmbeddedBroker broker = EmbeddedBroker.start(folder, 0)) {
      assertThat(broker.port()).isPositive();
      assertThat(broker.uri()).hasToString("tcp://127.0.0.1:" + broker.port());
      try (MqttLink link = MqttLink.open(MqttSettings.of(broker.uri(), "link"))) {
        link.publish("t", "1".getBytes(UTF_8), 1, false).get(30, TimeUnit.SECONDS);
      }
    }

    await()
        .atMost(Duration.ofSeconds(20))
        .untilAsserted(
            () ->
                assertThat(
                        Thread.getAllStackTraces().keySet().stream()
                            .filter(thread -> !before.contains(thread))
                            .map(Thread::getName)
                            .filter(name -> name.contains("ActiveMQ") || name.contains("activemq"))
                            .collect(Collectors.toSet()))
                    .isEmpty());
  }

  @Test
  void takenPort_isOneClearSentence() throws Exception {
    try (ServerSocket other = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      assertThatThrownBy(() -> EmbeddedBroker.start(folder, other.getLocalPort()))
          .isInstanceOf(BrokerStartException.class)
          .hasMessageStartingWith(
              "MQTT port %d on 127.0.0.1 is taken by another program"
                  .formatted(other.getLocalPort()))
          .hasMessageEndingWith("choose another port");
    }
  }

  @Test
  void folderOfAnotherBroker_isOneClearSentence() throws Exception {
    try (TestBroker other = EmbeddedBrokerProcess.start(folder)) {
      assertThat(other.uri()).isNotNull();
      assertThatThrownBy(() -> EmbeddedBroker.start(folder, 0))
          .isInstanceOf(BrokerStartException.class)
          .hasMessageStartingWith(
              "the folder %s is in use by another MQTT broker".formatted(folder));
    }
  }

  @Test
  void folderThatCannotBeMade_isOneClearSentence() throws Exception {
    Path file = Files.writeString(folder.resolve("file"), "");

    assertThatThrownBy(() -> EmbeddedBroker.start(file, 0))
        .isInstanceOf(BrokerStartException.class)
        .hasMessageContaining(file.toString());
  }

  @Test
  void stoppedBroker_startsAgainOnItsFolder() throws Exception {
    EmbeddedBroker.start(folder, 0).close();

    try (EmbeddedBroker again = EmbeddedBroker.start(folder, 0)) {
      assertThat(again.port()).isPositive();
    }
  }
}
