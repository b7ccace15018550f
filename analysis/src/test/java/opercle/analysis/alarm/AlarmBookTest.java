// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;

class AlarmBookTest {

  private static final AlarmCause CAUSE = AlarmCause.OXYGEN_LOW;
  private static final Instant T0 = Instant.parse("2026-03-14T02:00:00Z");

  private final AlarmBook book = new AlarmBook("h2");

  @Test
  void condition_present_raisesOnce() {
    AlarmEvent event = present(0, Priority.HIGH, 30).orElseThrow();

    assertThat(event.event()).isEqualTo(AlarmEvent.Kind.RAISED);
    assertThat(event.state()).isEqualTo(AlarmState.UNACKNOWLEDGED);
    assertThat(event.tank()).isEqualTo("h2");
    assertThat(event.timeInHandMinutes()).hasValue(30);
    assertThat(present(1, Priority.HIGH, 30)).isEmpty();
    assertThat(book.standing()).singleElement().extracting(Alarm::since).isEqualTo(T0);
  }

  @Test
  void condition_gone_clearsOnlyAfterTheOffDelay() {
    present(0, Priority.HIGH, 30);

    assertThat(absent(10)).isEmpty();
    assertThat(absent(129)).isEmpty();
    assertThat(absent(130).orElseThrow().event()).isEqualTo(AlarmEvent.Kind.CLEARED);
  }

  @Test
  void condition_back_startsTheOffDelayAgain() {
    present(0, Priority.HIGH, 30);
    absent(10);
    assertThat(present(100, Priority.HIGH, 30)).isEmpty();
    absent(110);

    assertThat(absent(229)).isEmpty();
    assertThat(absent(230)).isPresent();
  }

  @Test
  void unacknowledged_cleared_staysUntilAcknowledged() {
    present(0, Priority.HIGH, 30);
    absent(10);

    assertThat(absent(130).orElseThrow().state()).isEqualTo(AlarmState.RETURNED_UNACKNOWLEDGED);
    assertThat(book.standing()).hasSize(1);
    assertThat(book.isPresent(CAUSE)).isFalse();

    AlarmEvent event = acknowledge(200, "Ann").orElseThrow();
    assertThat(event.event()).isEqualTo(AlarmEvent.Kind.ACKNOWLEDGED);
    assertThat(event.state()).isEqualTo(AlarmState.NORMAL);
    assertThat(book.isEmpty()).isTrue();
  }

  @Test
  void acknowledged_cleared_isNormal() {
    present(0, Priority.HIGH, 30);
    acknowledge(5, "Ann");
    absent(10);

    assertThat(absent(130).orElseThrow().state()).isEqualTo(AlarmState.NORMAL);
    assertThat(book.isEmpty()).isTrue();
  }

  @Test
  void acknowledged_again_keepsTheFirstName() {
    present(0, Priority.HIGH, 30);
    acknowledge(5, "Ann");

    assertThat(acknowledge(6, "Ben")).isEmpty();
    assertThat(book.standing().get(0).acknowledgedBy()).contains("Ann");
  }

  @Test
  void acknowledgement_ofNothing_isHarmless() {
    assertThat(acknowledge(5, "Ann")).isEmpty();
    assertThat(book.isEmpty()).isTrue();
  }

  @Test
  void acknowledgement_withoutName_isRefused() {
    assertThatThrownBy(() -> acknowledge(5, " "))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("h2")
        .hasMessageContaining("oxygen-low")
        .hasMessageContaining("name");
  }

  @Test
  void priority_up_escalatesAndCallsAgain() {
    present(0, Priority.MEDIUM, 300);
    acknowledge(5, "Ann");

    AlarmEvent event = present(60, Priority.HIGH, 100).orElseThrow();
    assertThat(event.event()).isEqualTo(AlarmEvent.Kind.ESCALATED);
    assertThat(event.state()).isEqualTo(AlarmState.UNACKNOWLEDGED);
    assertThat(book.standing().get(0).since()).isEqualTo(T0);
  }

  @Test
  void priority_down_isToldOnlyWhenItLasts() {
    present(0, Priority.HIGH, 30);

    assertThat(present(60, Priority.MEDIUM, 30)).isEmpty();
    assertThat(present(359, Priority.MEDIUM, 30)).isEmpty();
    AlarmEvent event = present(360, Priority.MEDIUM, 30).orElseThrow();
    assertThat(event.event()).isEqualTo(AlarmEvent.Kind.CHANGED);
    assertThat(event.priority()).isEqualTo(Priority.MEDIUM);
  }

  @Test
  void priority_flickering_isNotTold() {
    present(0, Priority.HIGH, 30);

    for (int s = 1; s < 1000; s++) {
      assertThat(present(s, s % 2 == 0 ? Priority.HIGH : Priority.MEDIUM, 30)).isEmpty();
    }
  }

  @Test
  void timeInHand_halved_isToldAtMostOnceAMinute() {
    present(0, Priority.HIGH, 30);

    assertThat(present(30, Priority.HIGH, 14)).isEmpty();
    assertThat(present(60, Priority.HIGH, 14).orElseThrow().event())
        .isEqualTo(AlarmEvent.Kind.CHANGED);
    assertThat(present(125, Priority.HIGH, 13)).isEmpty();
  }

  @Test
  void gist_changedSoon_isToldAfterFiveMinutes() {
    present(0, Priority.HIGH, "split line", 30);

    assertThat(present(10, Priority.HIGH, "blocked diffuser", 30)).isEmpty();
    assertThat(present(299, Priority.HIGH, "blocked diffuser", 30)).isEmpty();
    assertThat(present(300, Priority.HIGH, "blocked diffuser", 30).orElseThrow().event())
        .isEqualTo(AlarmEvent.Kind.CHANGED);
    assertThat(present(700, Priority.HIGH, "blocked diffuser", 30)).isEmpty();
  }

  @Test
  void time_steppingBack_neitherClearsNorSticks() {
    present(3600, Priority.HIGH, 30);
    absent(3610);

    assertThat(absent(10)).isEmpty();
    assertThat(absent(129)).isEmpty();
    assertThat(absent(130)).isPresent();
  }

  @Test
  void snapshot_restored_goesOnTheSame() {
    present(0, Priority.HIGH, 30);
    acknowledge(5, "Ann");
    absent(10);
    AlarmBook other = new AlarmBook("h2");
    other.restore(book.snapshot(), book.outOfService());

    assertThat(other.standing()).isEqualTo(book.standing());
    assertThat(other.absent(T0.plusSeconds(130), CAUSE, () -> finding(Priority.LOW, "ok", 30)))
        .isEqualTo(absent(130));
  }

  private Optional<AlarmEvent> present(int second, Priority priority, double minutes) {
    return present(second, priority, "stopped", minutes);
  }

  private Optional<AlarmEvent> present(int second, Priority p, String gist, double minutes) {
    return book.present(T0.plusSeconds(second), finding(p, gist, minutes));
  }

  private Optional<AlarmEvent> absent(int second) {
    return book.absent(T0.plusSeconds(second), CAUSE, () -> finding(Priority.LOW, "ok", 30));
  }

  private Optional<AlarmEvent> acknowledge(int second, String by) {
    return book.acknowledge(T0.plusSeconds(second), CAUSE, by);
  }

  private static Finding finding(Priority priority, String gist, double minutes) {
    return new Finding(
        CAUSE, priority, gist, OptionalDouble.of(minutes), OptionalDouble.of(8.6), "Holding 2: x.");
  }
}
