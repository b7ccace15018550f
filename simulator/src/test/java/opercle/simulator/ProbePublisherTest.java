// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import org.junit.jupiter.api.Test;

class ProbePublisherTest {

  private static final Instant NOW = Instant.parse("2026-03-14T20:00:00Z");
  private static final ObjectMapper JSON = new ObjectMapper();

  private record Sent(String topic, String payload) {}

  private static final class SettableClock implements InstantSource {
    private volatile Instant now = NOW;

    @Override
    public Instant instant() {
      return now;
    }

    void advance(Duration by) {
      now = now.plus(by); // only the test's own thread moves it
    }
  }

  private final SettableClock clock = new SettableClock();
  private final List<Sent> sent = new CopyOnWriteArrayList<>();

  private static SimulatedFarm farm(Instant start) {
    return new SimulatedFarm(Sallowmere.farm(), Scenario.named("quiet-night"), 2L, start);
  }

  private void publish(String topic, byte[] payload) {
    sent.add(new Sent(topic, new String(payload, StandardCharsets.UTF_8)));
  }

  private static List<Double> baseTimes(List<Sent> messages) {
    List<Double> times = new ArrayList<>();
    for (Sent message : messages) {
      try {
        JsonNode json = JSON.readTree(message.payload());
        if (json.isArray()) {
          times.add(json.get(0).get("bt").asDouble());
        }
      } catch (java.io.IOException e) {
        throw new java.io.UncheckedIOException(e);
      }
    }
    return times;
  }

  @Test
  void followingClock_tick_publishesWhatIsDueWithSimulatedStamps() {
    try (ProbePublisher publisher =
        ProbePublisher.followingClock(farm(NOW), clock, this::publish)) {
      clock.advance(Duration.ofSeconds(4));

      int messages = publisher.tick();

      assertThat(messages).isEqualTo(sent.size()).isGreaterThan(15);
      assertThat(publisher.tick()).isZero();
      double start = NOW.getEpochSecond();
      assertThat(baseTimes(sent)).isNotEmpty().allMatch(t -> t > start - 1.0 && t < start + 4.0);
    }
  }

  @Test
  void atSpeed_farmLivesFasterAndStampsAreTheClocks() {
    SimulatedFarm farm = farm(Instant.parse("2020-01-01T00:00:00Z"));
    try (ProbePublisher publisher = ProbePublisher.atSpeed(farm, clock, 60.0, this::publish)) {
      clock.advance(Duration.ofSeconds(2));
      publisher.tick();

      assertThat(farm.now()).isEqualTo(Instant.parse("2020-01-01T00:02:00Z"));
      double start = NOW.getEpochSecond();
      assertThat(baseTimes(sent))
          .hasSizeGreaterThan(100)
          .allMatch(t -> t > start - 1.0 && t < start + 2.0);
    }
  }

  @Test
  void stall_catchesUpInFewPacksAndLeavesOutWhatIsTooOld() {
    SimulatedFarm farm = farm(NOW);
    try (ProbePublisher publisher = ProbePublisher.followingClock(farm, clock, this::publish)) {
      clock.advance(Duration.ofHours(3));

      publisher.tick();

      assertThat(farm.now()).isEqualTo(NOW.plus(Duration.ofHours(3)));
      assertThat(sent).hasSizeLessThan(120);
      double backlog = NOW.plus(Duration.ofHours(3)).minus(ProbePublisher.BACKLOG).getEpochSecond();
      assertThat(baseTimes(sent)).allMatch(t -> t > backlog - 1.0);
      assertThat(publisher.skipped()).isGreaterThan(10_000);
    }
  }

  @Test
  void clockPutBackALittle_waitsUntilItHasCaughtUp() {
    try (ProbePublisher publisher =
        ProbePublisher.followingClock(farm(NOW), clock, this::publish)) {
      clock.advance(Duration.ofSeconds(10));
      publisher.tick();
      clock.advance(Duration.ofSeconds(-3));

      assertThat(publisher.tick()).isZero();
      clock.advance(Duration.ofSeconds(5));
      assertThat(publisher.tick()).isPositive();
    }
  }

  @Test
  void clockPutBackByAnHour_goesOnWithTheNewTime() {
    try (ProbePublisher publisher =
        ProbePublisher.followingClock(farm(NOW), clock, this::publish)) {
      clock.advance(Duration.ofSeconds(10));
      publisher.tick();
      clock.advance(Duration.ofHours(-1));
      publisher.tick();
      sent.clear();

      clock.advance(Duration.ofSeconds(4));
      publisher.tick();

      double anHourAgo = NOW.plusSeconds(10).minus(Duration.ofHours(1)).getEpochSecond();
      assertThat(baseTimes(sent))
          .isNotEmpty()
          .allMatch(t -> t > anHourAgo - 1.0 && t < anHourAgo + 4.0);
    }
  }

  @Test
  void publishThatThrows_losesThatMessageAndGoesOn() {
    List<String> topics = new ArrayList<>();
    ProbePublisher.Publish flaky =
        (topic, payload) -> {
          topics.add(topic);
          if (topics.size() % 2 == 0) {
            throw new IllegalStateException("the broker is away");
          }
        };
    try (ProbePublisher publisher = ProbePublisher.followingClock(farm(NOW), clock, flaky)) {
      clock.advance(Duration.ofSeconds(4));
      int messages = publisher.tick();

      assertThat(topics).hasSize(messages);
      assertThat(publisher.published()).isEqualTo((messages + 1) / 2);
    }
  }

  @Test
  void startedPublisher_closed_leavesNoThread() {
    ProbePublisher publisher = ProbePublisher.followingClock(farm(NOW), clock, this::publish);
    publisher.start();
    clock.advance(Duration.ofSeconds(4));
    await().until(() -> !sent.isEmpty());

    publisher.close();

    assertThat(Thread.getAllStackTraces().keySet())
        .noneMatch(t -> t.getName().equals(ProbePublisher.THREAD_NAME));
    assertThatThrownBy(publisher::start).hasMessageContaining("already");
  }

  @Test
  void speed_notAboveZero_isRefused() {
    assertThatThrownBy(() -> ProbePublisher.atSpeed(farm(NOW), clock, 0.0, this::publish))
        .hasMessageContaining("0.0");
  }
}
