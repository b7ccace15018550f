// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.monitor.Heartbeat.Beat;
import opercle.analysis.monitor.Heartbeat.Cycle;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class MonitorTest {

  private static final Instant START = Instant.parse("2026-03-14T21:00:00Z");

  // ---- troubles

  @Test
  void key_tellsNamesOfAnyAlphabetApart() {
    List<String> names =
        List.of(
            "Ann-mail", "Åsa-mail", "Åse-mail", "Анна-mail", "Вера-mail", "A_n-mail", "A.n-mail");

    assertThat(names.stream().map(n -> TroubleKey.of(TroubleKind.CHANNEL_DEAD, n).id()))
        .doesNotHaveDuplicates()
        .allMatch(id -> id.matches("channel-dead-[a-z0-9-]+"))
        .contains("channel-dead-ann-mail");
    assertThat(TroubleKey.of(TroubleKind.CHANNEL_DEAD, "Ann Lee-mail").about())
        .isEqualTo("ann-lee-mail");
  }

  @ParameterizedTest
  @EnumSource(TroubleKind.class)
  void condition_thatHolds_isToldAfterItsDelay_andIsOverAfterItsDelay(TroubleKind kind) {
    TroubleBook book = new TroubleBook();
    Map<TroubleKey, String> present = Map.of(TroubleKey.of(kind), "It is so.");

    int raised = firstSecond(book, present, TroubleEvent.Kind.RAISED, 0);
    int cleared = firstSecond(book, Map.of(), TroubleEvent.Kind.CLEARED, raised + 1);

    assertThat(raised).isEqualTo((int) kind.onDelay().toSeconds());
    assertThat(cleared - raised).isEqualTo(Math.max(1, (int) kind.offDelay().toSeconds()));
    assertThat(book.standing()).isEmpty();
  }

  @Test
  void condition_shorterThanItsDelay_isNoNews() {
    TroubleBook book = new TroubleBook();
    Map<TroubleKey, String> lost = Map.of(TroubleKey.of(TroubleKind.BROKER_LOST), "Lost.");

    for (int second = 0; second < 300; second++) {
      boolean flickers = second % 20 < 15;
      assertThat(look(book, second, flickers ? lost : Map.of())).isEmpty();
    }
  }

  @Test
  void condition_thatFlickersWhileItStands_staysOneTrouble() {
    TroubleBook book = new TroubleBook();
    Map<TroubleKey, String> lost = Map.of(TroubleKey.of(TroubleKind.BROKER_LOST), "Lost.");
    firstSecond(book, lost, TroubleEvent.Kind.RAISED, 0);

    for (int second = 31; second < 300; second++) {
      assertThat(look(book, second, second % 40 == 0 ? lost : Map.of())).isEmpty();
    }

    assertThat(book.standing()).singleElement().extracting(MonitorTrouble::since).isEqualTo(START);
  }

  @Test
  void otherWords_ofAStandingTrouble_areAChange() {
    TroubleBook book = new TroubleBook();
    look(book, 0, Map.of(TroubleKey.of(TroubleKind.DISK_FULL), "200 MB are left."));

    List<TroubleEvent> events =
        look(book, 1, Map.of(TroubleKey.of(TroubleKind.DISK_FULL), "190 MB are left."));

    assertThat(events)
        .singleElement()
        .extracting(TroubleEvent::event)
        .isEqualTo(TroubleEvent.Kind.CHANGED);
  }

  @Test
  void troubles_ofOneKind_areKeptApartByWhatTheyAreAbout() {
    TroubleBook book = new TroubleBook();
    look(
        book,
        0,
        Map.of(
            TroubleKey.of(TroubleKind.CERTIFICATE_ENDS, "broker"), "a",
            TroubleKey.of(TroubleKind.CERTIFICATE_ENDS, "Public URL"), "b"));

    assertThat(book.standing())
        .extracting(t -> t.key().id())
        .containsExactlyInAnyOrder("certificate-ends-broker", "certificate-ends-public-url");
    assertThatThrownBy(() -> new TroubleKey(TroubleKind.CHANNEL_DEAD, "a/b"))
        .isInstanceOf(IllegalArgumentException.class);
  }

  private static int firstSecond(
      TroubleBook book, Map<TroubleKey, String> present, TroubleEvent.Kind event, int from) {
    for (int second = from; second < from + 4000; second++) {
      if (look(book, second, present).stream().anyMatch(e -> e.event() == event)) {
        return second;
      }
    }
    throw new AssertionError("never " + event);
  }

  private static List<TroubleEvent> look(
      TroubleBook book, int second, Map<TroubleKey, String> present) {
    return book.look(START.plusSeconds(second), seconds(second), present);
  }

  private static long seconds(double seconds) {
    return (long) (seconds * 1e9);
  }

  // ---- disk

  /** A disk of 100 GiB: nearly full under 2048 MiB, full under 256 MiB, better a quarter above. */
  @ParameterizedTest
  @CsvSource({
    "ENOUGH, 2049, ENOUGH",
    "ENOUGH, 2047, NEARLY_FULL",
    "NEARLY_FULL, 2500, NEARLY_FULL",
    "NEARLY_FULL, 2561, ENOUGH",
    "NEARLY_FULL, 255, FULL",
    "FULL, 300, FULL",
    "FULL, 321, NEARLY_FULL",
    "FULL, 9000, ENOUGH"
  })
  void disk_hasLimitsWithHysteresis(DiskRoom before, long freeMiB, DiskRoom after) {
    assertThat(before.next(freeMiB << 20, 100L << 30)).isEqualTo(after);
  }

  @Test
  void smallDisk_isMeasuredByItsSize() {
    assertThat(DiskRoom.ENOUGH.next(500L << 20, 4L << 30)).isEqualTo(DiskRoom.ENOUGH);
    assertThat(DiskRoom.ENOUGH.next(400L << 20, 4L << 30)).isEqualTo(DiskRoom.NEARLY_FULL);
    assertThat(DiskRoom.ENOUGH.next(100L << 20, 4L << 30)).isEqualTo(DiskRoom.FULL);
  }

  // ---- clock

  @ParameterizedTest
  @CsvSource({"1.0, false", "2.9, false", "3.0, true", "-1.1, true", "3601, true", "-3599, true"})
  void clock_stepIsWhatTheSteadyClockDidNotDo(double wallSeconds, boolean stepped) {
    ClockSteps before = new ClockSteps(START, 0);

    assertThat(before.step(START.plusNanos(seconds(wallSeconds)), seconds(1.0)).isPresent())
        .isEqualTo(stepped);
  }

  // ---- progress

  @Test
  void part_thatStandsStill_isStuckAfterTwentySeconds() {
    Progress progress = new Progress();
    progress.stuck(0, Map.of("watch", 5L, "publisher", 1L));

    assertThat(progress.stuck(seconds(19.9), Map.of("watch", 5L, "publisher", 2L))).isEmpty();
    assertThat(progress.stuck(seconds(20), Map.of("watch", 5L, "publisher", 3L)))
        .containsExactly(Map.entry("watch", Duration.ofSeconds(20)));
    assertThat(progress.stuck(seconds(21), Map.of("watch", 6L, "publisher", 4L))).isEmpty();
  }

  @Test
  void part_withNothingToDo_isNotStuck_andStartsAfresh() {
    Progress progress = new Progress();
    progress.stuck(0, Map.of("publisher", 1L));
    progress.stuck(seconds(30), Map.of());

    assertThat(progress.stuck(seconds(31), Map.of("publisher", 1L))).isEmpty();
  }

  // ---- heartbeat

  private static final Optional<Boolean> NOBODY = Optional.empty();

  @Test
  void heartbeat_afterAFullCycle_isSentOncePerInterval() {
    Heartbeat heart = new Heartbeat(Duration.ofSeconds(60), 0, new Cycle(0, 0, false, NOBODY));

    assertThat(heart.beat(seconds(59), new Cycle(9, 59, false, NOBODY))).isEqualTo(Beat.WAIT);
    assertThat(heart.beat(seconds(60), new Cycle(9, 60, false, NOBODY))).isEqualTo(Beat.SEND);
    assertThat(heart.beat(seconds(61), new Cycle(9, 61, false, NOBODY))).isEqualTo(Beat.WAIT);
  }

  @ParameterizedTest(name = "{0}")
  @CsvSource({
    "all well, 10, 120, false, true, SEND",
    "watch stands, 10, 60, false, true, WITHHOLD",
    "no readings, 9, 120, false, true, WITHHOLD",
    "no readings but alarmed, 9, 120, true, true, SEND",
    "nobody to be reached, 10, 120, false, false, WITHHOLD"
  })
  void heartbeat_withALinkPulled(
      String what, long readings, long seconds, boolean alarmed, boolean canCall, Beat beat) {
    Heartbeat heart = new Heartbeat(Duration.ofSeconds(60), 0, new Cycle(0, 0, false, NOBODY));
    heart.beat(seconds(60), new Cycle(9, 60, false, NOBODY));

    Beat second =
        heart.beat(seconds(120), new Cycle(readings, seconds, alarmed, Optional.of(canCall)));

    assertThat(second).as(what).isEqualTo(beat);
  }

  @Test
  void heartbeat_missedThreeTimes_isATrouble_untilOneIsTaken() {
    Heartbeat heart = new Heartbeat(Duration.ofSeconds(60), 0, new Cycle(0, 0, false, NOBODY));
    heart.failed("refused");
    heart.failed("refused");
    assertThat(heart.trouble()).isEmpty();

    heart.failed("no answer");
    String words = "The heartbeat did not go out 3 times or more: no answer.";
    assertThat(heart.trouble()).contains(words);

    heart.failed("no answer");
    assertThat(heart.trouble()).as("the same is no news").contains(words);
    heart.failed("refused");
    assertThat(heart.trouble().orElseThrow()).endsWith("refused.");

    heart.taken();
    assertThat(heart.trouble()).isEmpty();
  }
}
