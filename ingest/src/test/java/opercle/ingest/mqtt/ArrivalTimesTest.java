// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.ingest.store.Arrival;
import org.junit.jupiter.api.Test;

class ArrivalTimesTest {

  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  private static final int WINDOW = 10;

  private final List<Arrival> log = new ArrayList<>();
  private ArrivalTimes times = new ArrivalTimes(log, WINDOW);

  @Test
  void messages_keepTheirTimeOfReceptionAndNeverShareOneInATopic() {
    assertThat(times.timeOf(message(1, false, 1, "a", "8", 0))).isEqualTo(START);
    assertThat(times.timeOf(message(1, false, 2, "a", "8", 0))).isEqualTo(START.plusMillis(1));
    assertThat(times.timeOf(message(1, false, 3, "b", "8", 0))).isEqualTo(START);
    assertThat(times.timeOf(message(1, false, 4, "a", "8", 0))).isEqualTo(START.plusMillis(2));
    assertThat(times.timeOf(message(1, false, 5, "a", "8", 5))).isEqualTo(START.plusMillis(5));
  }

  @Test
  void tailDeliveredAgainAfterACrash_getsTheRecordedTimes() {
    for (int id = 1; id <= 5; id++) {
      times.timeOf(message(1, false, id, "a", "8", id * 10));
    }
    restart();

    // 1 to 3 had been acknowledged; 4 and 5 come again, then new ones of the same content.
    assertThat(times.timeOf(message(1, true, 4, "a", "8", 900))).isEqualTo(START.plusMillis(40));
    assertThat(times.timeOf(message(1, true, 5, "a", "8", 900))).isEqualTo(START.plusMillis(50));
    assertThat(times.timeOf(message(1, true, 6, "a", "8", 900))).isEqualTo(START.plusMillis(900));
    assertThat(times.timeOf(message(1, true, 1, "a", "8", 901))).isEqualTo(START.plusMillis(901));
  }

  @Test
  void newMessageAtOnce_endsTheSearch() {
    times.timeOf(message(1, false, 1, "a", "8", 0));
    times.timeOf(message(1, false, 2, "a", "8", 1));
    restart();

    assertThat(times.timeOf(message(1, true, 3, "a", "8", 900))).isEqualTo(START.plusMillis(900));
    assertThat(times.timeOf(message(1, true, 2, "a", "8", 901))).isEqualTo(START.plusMillis(901));
  }

  @Test
  void samePacketIdWithOtherContent_isNew() {
    times.timeOf(message(1, false, 1, "a", "8", 0));
    restart();

    assertThat(times.timeOf(message(1, true, 1, "a", "9", 900))).isEqualTo(START.plusMillis(900));
  }

  @Test
  void sessionThatTheBrokerHasLost_bringsNothingAgain() {
    times.timeOf(message(1, false, 1, "a", "8", 0));
    restart();

    assertThat(times.timeOf(message(1, false, 1, "a", "8", 900))).isEqualTo(START.plusMillis(900));
    restart();
    assertThat(times.timeOf(message(1, true, 1, "a", "8", 950))).isEqualTo(START.plusMillis(900));
  }

  @Test
  void reconnectWithoutACrash_isTreatedAlike() {
    times.timeOf(message(1, false, 1, "a", "8", 0));
    times.timeOf(message(1, false, 2, "a", "8", 1));

    assertThat(times.timeOf(message(2, true, 1, "a", "8", 900))).isEqualTo(START);
    assertThat(times.timeOf(message(2, true, 2, "a", "8", 900))).isEqualTo(START.plusMillis(1));
    assertThat(times.timeOf(message(3, true, 2, "a", "8", 950))).isEqualTo(START.plusMillis(1));
    assertThat(times.timeOf(message(3, true, 3, "a", "8", 950))).isEqualTo(START.plusMillis(950));
  }

  @Test
  void longRun_forgetsWhatTheBrokerCannotSendAgain() {
    for (int id = 1; id <= 1000; id++) {
      times.timeOf(message(1, false, id, "a", "8", id));
    }

    for (int id = 991; id <= 1000; id++) {
      assertThat(times.timeOf(message(2, true, id, "a", "8", 5000)))
          .isEqualTo(START.plusMillis(id));
    }
  }

  @Test
  void timesAheadOfTheClock_areNotGivenOutAgainAfterACrash() {
    for (int id = 1; id <= 100; id++) {
      times.timeOf(message(1, false, id, "a", "8", 0));
    }
    restart();

    assertThat(times.timeOf(message(1, true, 500, "a", "8", 50))).isEqualTo(START.plusMillis(100));
  }

  @Test
  void clockSetBack_isBelieved() {
    times.timeOf(message(1, false, 1, "a", "8", 3_600_000));

    assertThat(times.timeOf(message(1, false, 2, "a", "8", 0))).isEqualTo(START);
  }

  @Test
  void brokersNote_goesBeforeEverything() {
    Delivery noted =
        new Delivery(
            "a",
            new byte[0],
            1,
            1,
            true,
            Optional.of(START),
            START.plusMillis(9),
            1,
            true,
            () -> {});

    assertThat(times.timeOf(noted)).isEqualTo(START);
    assertThat(times.takeUnrecorded()).isEmpty();
  }

  @Test
  void noteFromFarAhead_isAStrangersAndDoesNotCount() {
    Delivery noted =
        new Delivery(
            "a",
            new byte[0],
            1,
            1,
            false,
            Optional.of(Instant.parse("2100-01-01T00:00:00Z")),
            START,
            1,
            false,
            () -> {});

    assertThat(times.timeOf(noted)).isEqualTo(START);
  }

  /** What was recorded is all that a new process knows. */
  private void restart() {
    log.addAll(times.takeUnrecorded());
    times = new ArrivalTimes(log, WINDOW);
  }

  private static Delivery message(
      int connection, boolean resumed, int id, String topic, String payload, int receivedMs) {
    return new Delivery(
        topic,
        payload.getBytes(UTF_8),
        1,
        id,
        false,
        Optional.empty(),
        START.plusMillis(receivedMs),
        connection,
        resumed,
        () -> {});
  }
}
