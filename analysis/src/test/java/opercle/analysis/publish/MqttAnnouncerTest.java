// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.time.Duration;
import java.util.Collections;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import org.junit.jupiter.api.Test;

class MqttAnnouncerTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);
  private static final String ALARM = "opercle/Sallowmere/tank/h1/alarm/oxygen-low";

  private final Topics topics = new Topics("Sallowmere");
  private final Broker broker = new Broker();

  /** What a broker has been given: topic, retained or not, payload. */
  private static final class Broker implements MqttAnnouncer.Outlet {
    private final List<String> published = new CopyOnWriteArrayList<>();
    private final List<String> refused = new CopyOnWriteArrayList<>();
    private final CountDownLatch held = new CountDownLatch(1);
    private volatile boolean away;
    private volatile String forbidden = "none";
    private volatile boolean holding;

    @Override
    public void publish(String topic, byte[] payload, boolean retained) {
      String text = topic + (retained ? " retained: " : ": ") + new String(payload, UTF_8);
      if (holding) {
        try {
          held.await();
        } catch (InterruptedException e) {
          throw new IllegalStateException("asked to end", e);
        }
      }
      if (away || topic.contains(forbidden)) {
        refused.add(text);
        throw new IllegalStateException("the broker is away");
      }
      published.add(text);
    }
  }

  @Test
  void standingAlarm_isRetained() {
    try (MqttAnnouncer announcer = new MqttAnnouncer(topics, broker)) {
      AlarmEvent raised = News.raised("h1", "low");
      announcer.events(List.of(raised));

      await().atMost(PATIENCE).until(() -> !broker.published.isEmpty());
      assertThat(broker.published).containsExactly(ALARM + " retained: " + WatchJson.alarm(raised));
    }
  }

  @Test
  void clearedButUnacknowledgedAlarm_stillStands() {
    try (MqttAnnouncer announcer = new MqttAnnouncer(topics, broker)) {
      announcer.events(
          List.of(
              News.event(
                  "h1", AlarmEvent.Kind.CLEARED, AlarmState.RETURNED_UNACKNOWLEDGED, "well")));

      await().atMost(PATIENCE).until(() -> !broker.published.isEmpty());
      assertThat(broker.published).singleElement().asString().startsWith(ALARM + " retained: {");
    }
  }

  @Test
  void endedAlarm_isToldAndThenTakenAway() {
    try (MqttAnnouncer announcer = new MqttAnnouncer(topics, broker)) {
      AlarmEvent cleared =
          News.event("h1", AlarmEvent.Kind.CLEARED, AlarmState.NORMAL, "oxygen is well again");
      announcer.events(List.of(cleared));

      await().atMost(PATIENCE).until(() -> broker.published.size() == 2);
      assertThat(broker.published)
          .containsExactly(ALARM + ": " + WatchJson.alarm(cleared), ALARM + " retained: ");
    }
  }

  @Test
  void brokerAway_alarmsWaitInOrderAndOnlyTheNewestStateFollows() {
    broker.away = true;
    try (MqttAnnouncer announcer = new MqttAnnouncer(topics, broker)) {
      announcer.events(List.of(News.raised("h1", "first"), News.raised("h1", "second")));
      await().atMost(PATIENCE).until(() -> !broker.refused.isEmpty());
      for (int second = 0; second < 5; second++) {
        announcer.states(List.of(News.silent("h1", News.T0.plusSeconds(second))));
      }
      broker.away = false;

      await().atMost(PATIENCE).until(() -> broker.published.size() == 3);
      assertThat(broker.published.get(0)).contains("first");
      assertThat(broker.published.get(1)).contains("second");
      assertThat(broker.published.get(2)).contains("/state retained: ", "02:11:11.000Z");
      assertThat(announcer.dropped()).isZero();
    }
  }

  @Test
  void topicThatTheBrokerRefuses_keepsNeitherOtherAlarmsNorStatesWaiting_andIsShown() {
    broker.forbidden = "h1/alarm";
    try (MqttAnnouncer announcer = new MqttAnnouncer(topics, broker)) {
      announcer.events(List.of(News.raised("h1", "first"), News.raised("h2", "other")));
      announcer.events(List.of(News.raised("h1", "second")));
      announcer.states(List.of(News.silent("h2", News.T0)));

      await().atMost(PATIENCE).until(() -> broker.published.size() == 2);
      assertThat(broker.published.get(0)).contains("h2/alarm", "other");
      assertThat(broker.published.get(1)).contains("h2/state");
      assertThat(announcer.trouble().orElseThrow()).contains(ALARM, "the broker is away");
      assertThat(announcer.pending())
          .extracting(AlarmEvent::message)
          .containsExactly("first", "second");

      broker.forbidden = "none";
      await().atMost(PATIENCE).until(() -> broker.published.size() == 4);
      assertThat(broker.published.get(2)).contains("h1/alarm", "first");
      assertThat(broker.published.get(3)).contains("h1/alarm", "second");
      assertThat(announcer.trouble()).isEmpty();
      assertThat(announcer.pending()).isEmpty();
    }
  }

  @Test
  void pending_isWhatTheBrokerDoesNotHave() {
    broker.away = true;
    try (MqttAnnouncer announcer = new MqttAnnouncer(topics, broker)) {
      AlarmEvent raised = News.raised("h1", "first");
      AlarmEvent cleared =
          News.event("h1", AlarmEvent.Kind.CLEARED, AlarmState.NORMAL, "oxygen is well again");
      announcer.events(List.of(raised, cleared));
      announcer.states(List.of(News.silent("h1", News.T0)));
      await().atMost(PATIENCE).until(() -> !broker.refused.isEmpty());
      assertThat(announcer.pending()).containsExactly(raised, cleared);

      broker.away = false;
      await().atMost(PATIENCE).until(() -> broker.published.size() == 4);
      assertThat(announcer.pending()).isEmpty();
    }
  }

  /** Its topics hold "/alarm/" wherever one looks. */
  @Test
  void tankByTheNameOfAlarm_hasStatesLikeAnyOther() {
    broker.away = true;
    try (MqttAnnouncer announcer = new MqttAnnouncer(topics, broker)) {
      announcer.states(List.of(News.silent("alarm", News.T0)));
      await().atMost(PATIENCE).until(() -> !broker.refused.isEmpty());
      broker.away = false;
      announcer.states(List.of(News.silent("alarm", News.T0.plusSeconds(1))));

      await().atMost(PATIENCE).until(() -> !broker.published.isEmpty());
      assertThat(broker.published).singleElement().asString().contains("02:11:08.000Z");
    }
  }

  @Test
  void tooManyAlarmsWaiting_theOldestGoAndAreCounted() {
    broker.holding = true;
    try (MqttAnnouncer announcer = new MqttAnnouncer(topics, broker)) {
      announcer.events(Collections.nCopies(10_000, News.raised("h1", "waits")));
      assertThat(announcer.dropped()).isZero();

      announcer.events(Collections.nCopies(100, News.raised("h1", "newer")));

      assertThat(announcer.dropped()).isBetween(99L, 100L); // one may be on its way
    }
  }

  @Test
  void close_doesNotWaitForABrokerThatHolds() {
    broker.holding = true;
    MqttAnnouncer announcer = new MqttAnnouncer(topics, broker);
    announcer.events(List.of(News.raised("h1", "low")));

    announcer.close();

    await()
        .atMost(PATIENCE)
        .until(
            () ->
                Thread.getAllStackTraces().keySet().stream()
                    .noneMatch(t -> t.getName().equals("mqtt-announcer")));
    assertThat(broker.published).isEmpty();
  }
}
