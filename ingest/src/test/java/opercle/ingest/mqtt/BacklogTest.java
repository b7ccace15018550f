// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.awaitility.core.ConditionTimeoutException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the embedded broker does with messages that nobody fetches. */
class BacklogTest {

  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final String WHOLE = "opercle-serve";

  @TempDir Path folder;

  private final List<Integer> received = Collections.synchronizedList(new ArrayList<>());

  /** Some 150 messages fill it. */
  private EmbeddedBroker broker(long messagesOfOthers) {
    return EmbeddedBroker.start(
        BrokerSettings.onLoopback(folder, 0).keepingWhole(Set.of(WHOLE)),
        new Backlog.Limits(200_000, messagesOfOthers, 1_000_000));
  }

  private MqttLink subscriber(EmbeddedBroker broker, String clientId) {
    MqttLink link =
        MqttLink.subscribe(
            MqttSettings.of(broker.uri(), clientId),
            List.of("tanks/#"),
            List.of(),
            new MqttLink.Inbox(
                1,
                true,
                100,
                delivery -> {
                  received.add(Integer.parseInt(new String(delivery.payload(), UTF_8)));
                  delivery.acknowledge();
                }),
            InstantSource.system());
    await().atMost(PATIENCE).until(() -> link.state().connected());
    return link;
  }

  private static CompletableFuture<Void> publish(MqttLink probe, String topic, int number)
      throws InterruptedException {
    return probe.publish(topic, String.valueOf(number).getBytes(UTF_8), 1, false);
  }

  @Test
  void sessionKeptWholeFallsBehind_publishersWaitAndNothingIsLostOrPaged() throws Exception {
    int count = 2_000;
    try (EmbeddedBroker broker = broker(10_000);
        MqttLink probe = MqttLink.open(MqttSettings.of(broker.uri(), "probe"))) {
      subscriber(broker, WHOLE).close();
      List<CompletableFuture<Void>> all = Collections.synchronizedList(new ArrayList<>());
      Thread publishing =
          new Thread(
              () -> {
                try {
                  for (int i = 0; i < count; i++) {
                    all.add(publish(probe, "tanks/h1/oxygen", i));
                  }
                } catch (InterruptedException e) {
                  Thread.currentThread().interrupt();
                }
              });
      publishing.start();
      // As many as the connection's own buffers hold come in, then no more.
      await()
          .atMost(PATIENCE)
          .until(() -> all.size() > 150 && acknowledged(all) < all.size() && isStill(all));
      assertThat(acknowledged(all)).isLessThan(count);

      // Alarms pass, from whoever else may tell them.
      try (MqttLink announcer = MqttLink.open(MqttSettings.of(broker.uri(), "opercle-announce"))) {
        publish(announcer, "opercle/sallowmere/tank/h1/state", 1)
            .get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
      }
      assertThat(acknowledged(all)).isLessThan(count);

      try (MqttLink back = subscriber(broker, WHOLE)) {
        publishing.join();
        CompletableFuture.allOf(all.toArray(CompletableFuture[]::new))
            .get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
        await().atMost(PATIENCE).until(() -> Set.copyOf(received).size() == count);
        assertThat(back.state().connected()).isTrue();
      }
    }
    assertThat(pages()).isEmpty();
  }

  @Test
  void anothersSessionStaysAway_losesItsOldestAndHoldsUpNobody() throws Exception {
    int count = 500;
    try (EmbeddedBroker broker = broker(100);
        MqttLink probe = MqttLink.open(MqttSettings.of(broker.uri(), "probe"))) {
      subscriber(broker, "display").close();
      for (int i = 0; i < count; i++) {
        publish(probe, "tanks/h1/oxygen", i).get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
      }

      try (MqttLink back = subscriber(broker, "display")) {
        await().atMost(PATIENCE).until(() -> received.contains(count - 1));
        assertThat(back.state().connected()).isTrue();
      }
      assertThat(received)
          .containsAll(IntStream.range(count - 50, count).boxed().toList())
          .doesNotContainAnyElementsOf(IntStream.range(0, count - 200).boxed().toList());
    }
    assertThat(pages()).isEmpty();
  }

  @Test
  void othersWithTooManyBytesTogether_loseWhatWaits_andTheOwnSessionNothing() throws Exception {
    int count = 300;
    String zeros = "0".repeat(20_000);
    try (EmbeddedBroker broker = broker(10_000);
        MqttLink probe = MqttLink.open(MqttSettings.of(broker.uri(), "probe"))) {
      subscriber(broker, "display").close();
      subscriber(broker, "another").close();
      for (int i = 0; i < count; i++) {
        probe
            .publish("tanks/h1/oxygen", (zeros + i).getBytes(UTF_8), 1, false)
            .get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
      }
      try (MqttLink back = subscriber(broker, "display")) {
        publish(probe, "tanks/h1/oxygen", count).get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
        await().atMost(PATIENCE).until(() -> received.contains(count));
        assertThat(back.state().connected()).isTrue();
      }
      assertThat(received.size()).as("of twice 6 MB at most 1 MB waited").isLessThan(60);
    }
  }

  private static long acknowledged(List<CompletableFuture<Void>> all) {
    return List.copyOf(all).stream().filter(CompletableFuture::isDone).count();
  }

  /** Whether nothing more is acknowledged for a second. */
  private static boolean isStill(List<CompletableFuture<Void>> all) {
    long before = acknowledged(all);
    try {
      await()
          .pollInterval(Duration.ofMillis(200))
          .during(Duration.ofSeconds(1))
          .atMost(Duration.ofSeconds(2))
          .until(() -> acknowledged(all) == before);
      return true;
    } catch (ConditionTimeoutException e) {
      return false;
    }
  }

  private List<Path> pages() throws IOException {
    try (Stream<Path> files = Files.walk(folder)) {
      return files.filter(f -> f.toString().endsWith(".page")).toList();
    }
  }
}
