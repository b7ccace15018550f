// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static opercle.analysis.calling.Night.FAILS;
import static opercle.analysis.calling.Night.WORKS;
import static opercle.analysis.calling.Night.seconds;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.memory.RecordText;
import org.junit.jupiter.api.Test;

/** A message names those that its channel was handed before about the same thing. */
class EarlierMessagesTest {

  private static final Target WEBHOOK = new Target("Gateway", "webhook");

  private final Night night =
      Night.of(List.of(new Person("Gateway", List.of("webhook"), Optional.empty())));

  private List<Call> tried() {
    return night.tried.stream().map(Night.Told::call).toList();
  }

  private static List<Earlier> messages(List<Call> calls) {
    return calls.stream().map(Earlier::of).toList();
  }

  private void stands(AlarmEvent alarm, double minutes) {
    night.hear(new News.Standing(List.of(Night.now(alarm, OptionalDouble.of(minutes)))));
  }

  @Test
  void everyCall_namesAllBeforeIt_andTheEndNamesAll() {
    AlarmEvent alarm = night.high("h2", 60);
    night.hear(new News.Happened(alarm));
    night.pass(Duration.ofMinutes(10));
    night.hear(
        new News.Happened(
            night.after(alarm, AlarmEvent.Kind.CLEARED, AlarmState.NORMAL, Optional.empty())));

    List<Call> calls = tried();
    assertThat(calls).hasSizeGreaterThan(3);
    for (int i = 0; i < calls.size(); i++) {
      assertThat(calls.get(i).earlier()).isEqualTo(messages(calls.subList(0, i)));
    }
    assertThat(calls.get(calls.size() - 1).kind()).isEqualTo(Call.Kind.ENDED);
    assertThat(calls.stream().map(Call::identifier)).doesNotHaveDuplicates();
  }

  @Test
  void messagesAboutAnotherAlarm_andToAnotherWay_areNotNamed() {
    Night two =
        Night.of(
            List.of(
                new Person("Maren", List.of("mail", "webhook"), Optional.empty()),
                new Person("Gateway", List.of("webhook"), Optional.empty())));
    two.hear(new News.Happened(two.high("h1", 60)), new News.Happened(two.high("h2", 60)));
    two.pass(Duration.ofMinutes(10));

    for (Night.Told told : two.tried) {
      Call call = told.call();
      assertThat(call.earlier())
          .isEqualTo(
              messages(
                  two.tried.stream()
                      .map(Night.Told::call)
                      .takeWhile(c -> !c.equals(call))
                      .filter(c -> c.occurrence().equals(call.occurrence()))
                      .filter(c -> c.person().equals(call.person()))
                      .filter(c -> c.channel().equals(call.channel()))
                      .toList()));
    }
  }

  @Test
  void triedAgainInTheSameWords_isTheSameAgain() {
    night.dead(Set.of(WEBHOOK), FAILS);
    night.hear(new News.Happened(night.high("h2", 60)));
    night.pass(seconds(8));

    assertThat(tried()).hasSizeGreaterThan(1);
    assertThat(tried()).containsOnly(tried().get(0));
  }

  /** Its figures never stand quite still; a phone must not show the same words twice for that. */
  @Test
  void triedAgainWithFiguresThatNoMessageTellsApart_isTheSameAgain() {
    AlarmEvent alarm = night.high("h2", 60);
    night.dead(Set.of(WEBHOOK), FAILS);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(2));
    night.hear(
        new News.Standing(
            List.of(
                new AlarmEvent(
                    alarm.time(),
                    alarm.tank(),
                    alarm.cause(),
                    alarm.event(),
                    alarm.priority(),
                    alarm.state(),
                    OptionalDouble.of(60.004),
                    OptionalDouble.of(8.6004),
                    alarm.message()))));
    night.pass(seconds(8));

    assertThat(tried()).hasSizeGreaterThan(1);
    assertThat(tried()).containsOnly(tried().get(0));
  }

  @Test
  void triedAgainInOtherWords_hasAnotherIdentifier_andNamesTheFormer() {
    AlarmEvent alarm = night.high("h2", 60);
    night.dead(Set.of(WEBHOOK), FAILS);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(2));
    stands(alarm, 44);
    night.dead(Set.of(), WORKS);
    night.pass(seconds(8));

    Call first = tried().get(0);
    Call last = tried().get(tried().size() - 1);
    assertThat(last.key()).isEqualTo(first.key());
    assertThat(last.identifier()).isNotEqualTo(first.identifier());
    assertThat(last.sent()).isAfter(first.sent());
    assertThat(last.earlier()).containsExactly(Earlier.of(first));
  }

  /** A notice says the same all day; but after an hour its link would soon end. */
  @Test
  void triedAgainAfterAnHour_isToldAnew() {
    Night day =
        new Night(
            Night.plan(List.of(new Person("Gateway", List.of("webhook"), Optional.empty()))),
            Instant.parse("2026-03-14T10:00:00Z"));
    day.dead(Set.of(WEBHOOK), FAILS);
    day.hear(new News.Happened(day.raised("h2", Priority.MEDIUM, 600)));
    day.pass(Duration.ofMinutes(110));
    List<Call> calls = day.tried.stream().map(Night.Told::call).toList();

    assertThat(calls.stream().map(Call::key).distinct()).hasSize(1);
    assertThat(calls.stream().map(Call::identifier).distinct()).hasSize(2);
    assertThat(calls.get(calls.size() - 1).earlier()).containsExactly(Earlier.of(calls.get(0)));
  }

  @Test
  void overARestart_theyAreKnown() {
    AlarmEvent alarm = night.high("h2", 60);
    night.hear(new News.Happened(alarm));
    RecordText<CallingState> text = RecordText.of(CallingState.class);
    night.state = text.read(text.write(night.state));
    night.restart(seconds(10));
    night.hear(
        new News.Happened(
            night.after(alarm, AlarmEvent.Kind.CLEARED, AlarmState.NORMAL, Optional.empty())));

    assertThat(tried().get(tried().size() - 1).earlier()).contains(Earlier.of(tried().get(0)));
  }

  @Test
  void stateOfAnEarlierVersion_isRead_andNamesNone() {
    night.hear(new News.Happened(night.high("h2", 60)));
    RecordText<CallingState> text = RecordText.of(CallingState.class);
    String written = text.write(night.state);
    String handed = written.substring(written.indexOf(",\"handed\":{"), written.length() - 1);

    CallingState read = text.read(written.replace(handed, ""));

    assertThat(read.handed()).isEmpty();
    assertThat(read.alarms()).isEqualTo(night.state.alarms());
  }

  @Test
  void onlyTheNewestAreNamed_andNoneOfWhatIsForgotten() {
    AlarmEvent alarm = night.high("h2", 3);
    night.hear(new News.Happened(alarm));
    night.pass(Duration.ofHours(1));

    // Beside these came some that are about several things, as for too many messages.
    List<Call> calls = tried().stream().filter(Call::isStep).toList();
    assertThat(calls).hasSizeGreaterThan(Handed.MOST + 5);
    assertThat(calls.get(calls.size() - 1).earlier())
        .isEqualTo(messages(calls.subList(calls.size() - 1 - Handed.MOST, calls.size() - 1)));

    night.hear(
        new News.Happened(
            night.after(alarm, AlarmEvent.Kind.CLEARED, AlarmState.NORMAL, Optional.empty())),
        new News.Standing(List.of()));
    night.pass(seconds(2));
    assertThat(night.state.handed()).isEmpty();
  }
}
