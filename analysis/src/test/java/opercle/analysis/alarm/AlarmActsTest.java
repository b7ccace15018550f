// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;

/** What named persons do to alarms, and when an alarm that somebody has calls again. */
class AlarmActsTest {

  private static final AlarmCause CAUSE = AlarmCause.GAS_LINE_STOPPED;
  private static final Instant T0 = Instant.parse("2026-03-14T02:00:00Z");

  private final AlarmBook book = new AlarmBook("h2");

  @Test
  void silence_stopsTheSoundForTwoMinutes_andNothingElse() {
    present(0, Priority.HIGH, 60);

    AlarmEvent event = book.silence(at(5), CAUSE, "Ann").orElseThrow();

    assertThat(event.event()).isEqualTo(AlarmEvent.Kind.SILENCED);
    assertThat(event.state()).isEqualTo(AlarmState.UNACKNOWLEDGED);
    assertThat(event.annunciated()).isTrue();
    assertThat(event.by()).contains("Ann");
    assertThat(event.until()).contains(at(125));
    assertThat(alarm().isSounding()).isFalse();
    book.pass(at(124));
    assertThat(alarm().isSounding()).isFalse();
    book.pass(at(125));
    assertThat(alarm().isSounding()).isTrue();
  }

  @Test
  void silence_ofWhatSomebodyHas_isNothing() {
    present(0, Priority.HIGH, 60);
    book.acknowledge(at(1), CAUSE, "Ann");

    assertThat(book.silence(at(2), CAUSE, "Ben")).isEmpty();
  }

  @Test
  void priority_up_soundsAgain_throughSilenceAndShelf() {
    present(0, Priority.MEDIUM, 300);
    book.silence(at(1), CAUSE, "Ann");
    book.shelve(at(2), CAUSE, "Ann", Duration.ofHours(2));

    AlarmEvent event = present(60, Priority.HIGH, 200).orElseThrow();

    assertThat(event.event()).isEqualTo(AlarmEvent.Kind.ESCALATED);
    assertThat(event.annunciated()).isTrue();
    assertThat(alarm().isSounding()).isTrue();
  }

  @Test
  void reset_whileItIsThere_isRefusedInWords() {
    present(0, Priority.HIGH, 60);

    assertThatExceptionOfType(RefusedActException.class)
        .isThrownBy(() -> book.reset(at(1), CAUSE, "Ann"))
        .withMessageContaining("still there");
  }

  @Test
  void gasThatCameBackByItself_staysUntilSomebodyHasLooked_butCallsNobody() {
    present(0, Priority.HIGH, 60);
    absent(10);

    AlarmEvent cleared = absent(130).orElseThrow();
    assertThat(cleared.state()).isEqualTo(AlarmState.LATCHED_UNACKNOWLEDGED);
    assertThat(cleared.annunciated()).isFalse();
    assertThat(alarm().isSounding()).isFalse();

    AlarmEvent reset = book.reset(at(500), CAUSE, "Ann").orElseThrow();
    assertThat(reset.event()).isEqualTo(AlarmEvent.Kind.RESET);
    assertThat(reset.state()).isEqualTo(AlarmState.NORMAL);
    assertThat(reset.since()).isEqualTo(T0);
    assertThat(book.isEmpty()).isTrue();
  }

  @Test
  void shelf_ofHighPriority_isHalfAnHourAtMost() {
    present(0, Priority.HIGH, 600);

    assertThatExceptionOfType(RefusedActException.class)
        .isThrownBy(() -> book.shelve(at(1), CAUSE, "Ann", Duration.ofMinutes(31)))
        .withMessage("An alarm of high priority can be put aside for 1 to 30 minutes, not for 31.");
    assertThat(book.shelve(at(1), CAUSE, "Ann", Duration.ofMinutes(30))).isPresent();
  }

  @Test
  void shelf_ofLowerPriority_isEightHoursAtMost() {
    present(0, Priority.MEDIUM, 6000);

    assertThat(book.shelve(at(1), CAUSE, "Ann", Duration.ofHours(8))).isPresent();
    assertThatExceptionOfType(RefusedActException.class)
        .isThrownBy(() -> book.shelve(at(1), CAUSE, "Ann", Duration.ofMinutes(481)));
  }

  @Test
  void shelf_ends_andTheAlarmCallsAgain() {
    present(0, Priority.HIGH, 600);
    AlarmEvent shelved = book.shelve(at(1), CAUSE, "Ann", Duration.ofMinutes(10)).orElseThrow();
    assertThat(shelved.annunciated()).isFalse();
    assertThat(shelved.until()).contains(at(601));
    present(300, Priority.HIGH, 500);

    assertThat(book.pass(at(600))).isEmpty();
    assertThat(book.pass(at(601)))
        .singleElement()
        .satisfies(
            e -> {
              assertThat(e.event()).isEqualTo(AlarmEvent.Kind.UNSHELVED);
              assertThat(e.state()).isEqualTo(AlarmState.UNACKNOWLEDGED);
              assertThat(e.annunciated()).isTrue();
            });
  }

  @Test
  void shelf_ofWhatComesBackMoreUrgent_hasEnded() {
    present(0, Priority.MEDIUM, 6000);
    book.shelve(at(1), CAUSE, "Ann", Duration.ofHours(8));
    clear();

    AlarmEvent event = present(600, Priority.HIGH, 6000).orElseThrow();

    assertThat(event.event()).isEqualTo(AlarmEvent.Kind.RAISED);
    assertThat(event.state()).isEqualTo(AlarmState.UNACKNOWLEDGED);
    assertThat(event.annunciated()).isTrue();
  }

  @Test
  void shelf_ofWhatComesBackWithTooLittleTime_hasEnded() {
    present(0, Priority.MEDIUM, 6000);
    book.shelve(at(1), CAUSE, "Ann", Duration.ofHours(8));
    clear();

    assertThat(present(600, Priority.MEDIUM, 300).orElseThrow().annunciated()).isTrue();
  }

  @Test
  void shelf_ofWhatComesBackAsItWas_goesOn() {
    present(0, Priority.MEDIUM, 6000);
    book.shelve(at(1), CAUSE, "Ann", Duration.ofHours(8));
    clear();

    assertThat(present(600, Priority.MEDIUM, 6000).orElseThrow().state())
        .isEqualTo(AlarmState.SHELVED);
  }

  private void clear() {
    absent(60);
    absent(500);
    assertThat(book.isPresent(CAUSE)).isFalse();
  }

  @Test
  void shelf_thatWouldOutlastTheTimeInHand_ends() {
    present(0, Priority.HIGH, 60);
    book.shelve(at(1), CAUSE, "Ann", Duration.ofMinutes(30));
    assertThat(present(60, Priority.HIGH, 50)).isEmpty();

    AlarmEvent event = present(120, Priority.HIGH, 20).orElseThrow();

    assertThat(event.event()).isEqualTo(AlarmEvent.Kind.UNSHELVED);
    assertThat(event.annunciated()).isTrue();
  }

  @Test
  void shelf_isNotProlongedByAClockPutBack() {
    present(0, Priority.HIGH, 600);
    book.shelve(at(3600), CAUSE, "Ann", Duration.ofMinutes(10));

    assertThat(book.pass(at(0))).isEmpty();
    assertThat(book.pass(at(599))).isEmpty();
    assertThat(book.pass(at(600))).hasSize(1);
  }

  @Test
  void outOfService_isToldAndRecordedOn_butCallsNobody_andReturnsByItself() {
    present(0, Priority.HIGH, 60);

    List<AlarmEvent> out = book.takeOutOfService(order(10, 610));
    assertThat(out)
        .singleElement()
        .satisfies(
            e -> {
              assertThat(e.event()).isEqualTo(AlarmEvent.Kind.OUT_OF_SERVICE);
              assertThat(e.state()).isEqualTo(AlarmState.OUT_OF_SERVICE);
              assertThat(e.until()).contains(at(610));
              assertThat(e.annunciated()).isFalse();
            });
    AlarmEvent other =
        book.present(at(60), finding(AlarmCause.OXYGEN_LOW, Priority.HIGH, 10)).orElseThrow();
    assertThat(other.event()).isEqualTo(AlarmEvent.Kind.RAISED);
    assertThat(other.annunciated()).isFalse();
    assertThat(book.outOfService()).hasSize(1);

    assertThat(book.pass(at(610)))
        .hasSize(2)
        .allSatisfy(
            e -> {
              assertThat(e.event()).isEqualTo(AlarmEvent.Kind.RETURNED_TO_SERVICE);
              assertThat(e.annunciated()).isTrue();
              assertThat(e.by()).contains("Ann");
            });
    assertThat(book.outOfService()).isEmpty();
  }

  @Test
  void oneCauseOutOfService_leavesTheOthersCalling() {
    book.takeOutOfService(
        new OutOfService(Optional.of(CAUSE), "meter at the maker", "Ann", at(0), at(600)));

    assertThat(present(10, Priority.HIGH, 60).orElseThrow().annunciated()).isFalse();
    assertThat(
            book.present(at(20), finding(AlarmCause.OXYGEN_LOW, Priority.HIGH, 10))
                .orElseThrow()
                .annunciated())
        .isTrue();
  }

  @Test
  void acknowledged_andTheTimeHalved_callsAgain() {
    present(0, Priority.HIGH, 60);
    book.acknowledge(at(10), CAUSE, "Ann");

    AlarmEvent event = present(300, Priority.HIGH, 29).orElseThrow();

    assertThat(event.event()).isEqualTo(AlarmEvent.Kind.RE_ALARMED);
    assertThat(event.state()).isEqualTo(AlarmState.UNACKNOWLEDGED);
    assertThat(alarm().acknowledgedBy()).isEmpty();
  }

  @Test
  void acknowledged_andNotBetterInAThirdOfTheTime_callsAgain() {
    present(0, Priority.HIGH, 60);
    book.acknowledge(at(0), CAUSE, "Ann");

    for (int s = 60; s < 20 * 60; s += 60) {
      assertThat(present(s, Priority.HIGH, 50).filter(AlarmEvent::annunciated)).isEmpty();
    }
    assertThat(present(20 * 60, Priority.HIGH, 50).orElseThrow().event())
        .isEqualTo(AlarmEvent.Kind.RE_ALARMED);
  }

  @Test
  void acknowledged_andBetter_callsNobody() {
    present(0, Priority.HIGH, 60);
    book.acknowledge(at(0), CAUSE, "Ann");

    for (int s = 60; s < 4 * 3600; s += 60) {
      assertThat(present(s, Priority.HIGH, 60 + s / 60.0).filter(AlarmEvent::annunciated))
          .isEmpty();
    }
  }

  @Test
  void acknowledged_ofLowerPriority_isNotCalledAgainForLasting() {
    present(0, Priority.MEDIUM, 600);
    book.acknowledge(at(0), CAUSE, "Ann");

    for (int s = 60; s < 4 * 3600; s += 60) {
      assertThat(present(s, Priority.MEDIUM, 500).filter(AlarmEvent::annunciated)).isEmpty();
    }
  }

  @Test
  void consequence_isRaisedInSilence_andCallsWhenNobodySpeaksForIt() {
    AlarmId root = new AlarmId("h1", CAUSE);

    AlarmEvent raised =
        book.present(
                at(0),
                finding(CAUSE, Priority.HIGH, 60),
                Optional.of(root),
                List.of(),
                Optional.empty())
            .orElseThrow();
    assertThat(raised.event()).isEqualTo(AlarmEvent.Kind.RAISED);
    assertThat(raised.state()).isEqualTo(AlarmState.SUPPRESSED);
    assertThat(raised.root()).contains(root);
    assertThat(raised.annunciated()).isFalse();

    AlarmEvent alone = present(10, Priority.HIGH, 60).orElseThrow();
    assertThat(alone.event()).isEqualTo(AlarmEvent.Kind.UNSUPPRESSED);
    assertThat(alone.annunciated()).isTrue();
  }

  @Test
  void leastTime_changingBetweenTwoTanks_isNoNews() {
    present(0, List.of("h1", "h2"));
    assertThat(present(30, List.of("h2", "h1"))).isEmpty();
    assertThat(present(60, List.of("h2", "h1", "h3"))).isPresent();
  }

  private Optional<AlarmEvent> present(int s, List<String> tanks) {
    return book.present(
        at(s), finding(CAUSE, Priority.HIGH, 60), Optional.empty(), tanks, Optional.empty());
  }

  @Test
  void consequence_thatClears_isDoneWith() {
    AlarmId root = new AlarmId("h1", CAUSE);
    var unused =
        book.present(
            at(0),
            finding(CAUSE, Priority.HIGH, 60),
            Optional.of(root),
            List.of(),
            Optional.empty());
    absent(10);

    assertThat(absent(130).orElseThrow().state()).isEqualTo(AlarmState.NORMAL);
    assertThat(book.isEmpty()).isTrue();
  }

  private static OutOfService order(int from, int until) {
    return new OutOfService(Optional.empty(), "new diffusers", "Ann", at(from), at(until));
  }

  private Alarm alarm() {
    return book.standing().get(0);
  }

  private static Instant at(int second) {
    return T0.plusSeconds(second);
  }

  private Optional<AlarmEvent> present(int second, Priority priority, double minutes) {
    return book.present(at(second), finding(CAUSE, priority, minutes));
  }

  private Optional<AlarmEvent> absent(int second) {
    return book.absent(at(second), CAUSE, () -> finding(CAUSE, Priority.LOW, 60));
  }

  private static Finding finding(AlarmCause cause, Priority priority, double minutes) {
    return new Finding(
        cause,
        priority,
        "stopped",
        OptionalDouble.of(minutes),
        OptionalDouble.of(8.6),
        "Holding 2: x.");
  }
}
