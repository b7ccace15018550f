// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static opercle.analysis.calling.Night.FAILS;
import static opercle.analysis.calling.Night.WORKS;
import static opercle.analysis.calling.Night.seconds;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.IntStream;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.calling.Call.Kind;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A line of tanks loses its gas at once, and there is more to tell than ten messages. */
class FloodTest {

  private static final Target PUSH = new Target("Ines", "push");

  private final Night night =
      Night.of(
          List.of(
              new Person("Ines", List.of("push", "mail"), Optional.empty()),
              new Person("Tom", List.of("mail"), Optional.empty())));

  private void flood(int tanks) {
    List<News> all = new ArrayList<>();
    for (int i = 0; i < tanks; i++) {
      all.add(new News.Happened(night.high("h" + i, 14 + i * 0.01)));
    }
    night.hear(all.toArray(News[]::new));
  }

  private List<Call> toInes(String channel) {
    return night.told.stream()
        .map(Night.Told::call)
        .filter(c -> c.person().equals("Ines") && c.channel().equals(channel))
        .toList();
  }

  /** A phone may be mute in its drawer: the next way must not wait for the ten minutes to end. */
  @ParameterizedTest
  @ValueSource(ints = {1, 5, 7, 8, 12, 40})
  void everyWayToAPerson_saysAllThatCalls_withinAMinute(int tanks) {
    flood(tanks);
    night.pass(Duration.ofMinutes(1));

    for (String channel : List.of("push", "mail")) {
      assertThat(
              toInes(channel).stream()
                  .flatMap(c -> c.about().stream())
                  .map(AlarmEvent::tank)
                  .distinct())
          .as(channel)
          .hasSize(tanks);
    }
  }

  @Test
  void toldTogether_isOneMessage_byAllWays() {
    flood(12);

    assertThat(toInes("push").stream().filter(c -> c.kind() == Kind.MORE))
        .singleElement()
        .satisfies(c -> assertThat(c.about()).hasSize(5)); // after seven one by one
    assertThat(toInes("mail").stream().filter(c -> c.kind() == Kind.MORE))
        .singleElement()
        .satisfies(c -> assertThat(c.about()).hasSize(12))
        .satisfies(c -> assertThat(c.about().get(0).tank()).isEqualTo("h0"));
  }

  @Test
  void toldTogether_isTriedAgainByTheWayThatFailed_andNotTwiceByTheOther() {
    night.dead(Set.of(PUSH), FAILS);
    flood(12);
    night.pass(seconds(3));
    assertThat(toInes("mail").stream().filter(c -> c.kind() == Kind.MORE)).hasSize(1);

    night.dead(Set.of(), WORKS);
    night.pass(seconds(10));
    assertThat(toInes("push").stream().filter(c -> c.kind() == Kind.MORE)).hasSize(1);
    assertThat(toInes("mail").stream().filter(c -> c.kind() == Kind.MORE)).hasSize(1);
  }

  @Test
  void toldTogether_triedAgain_tellsWhatCallsNow_withTheMinutesOfNow() {
    night.dead(Set.of(PUSH), FAILS);
    List<AlarmEvent> alarms =
        IntStream.range(0, 12).mapToObj(i -> night.high("h" + i, 14 + i * 0.01)).toList();
    night.hear(alarms.stream().map(News.Happened::new).toArray(News[]::new));
    night.pass(seconds(3));
    AlarmEvent had = alarms.get(11);
    night.hear(new News.Happened(night.acknowledged(had, "Tom")));
    night.hear(
        new News.Standing(
            alarms.subList(0, 11).stream()
                .map(a -> Night.now(a, OptionalDouble.of(9.0)))
                .toList()));
    night.dead(Set.of(), WORKS);
    night.pass(seconds(10));

    assertThat(toInes("push").stream().filter(c -> c.kind() == Kind.MORE))
        .singleElement()
        .satisfies(
            c ->
                assertThat(c.about())
                    .hasSize(4)
                    .noneMatch(a -> a.id().equals(had.id()))
                    .allSatisfy(a -> assertThat(a.timeInHandMinutes()).hasValue(9.0)));
  }
}
