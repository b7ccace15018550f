// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static opercle.analysis.calling.Night.FAILS;
import static opercle.analysis.calling.Night.WORKS;
import static opercle.analysis.calling.Night.seconds;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import org.junit.jupiter.api.Test;

/** What is called again, or tried again, tells how things are now. */
class RepeatedCallTest {

  private final Night night =
      Night.of(
          List.of(
              new Person("Ines", List.of("push"), Optional.empty()),
              new Person("Tom", List.of("mail"), Optional.empty())));

  private void stands(AlarmEvent alarm, OptionalDouble minutes) {
    night.hear(new News.Standing(List.of(Night.now(alarm, minutes))));
  }

  private Call last() {
    return night.told.get(night.told.size() - 1).call();
  }

  @Test
  void callAgain_tellsTheMinutes_theWordsAndTheOxygenOfNow() {
    AlarmEvent alarm = night.high("h2", 71);
    night.hear(new News.Happened(alarm));
    for (int minute = 1; minute <= 30; minute++) {
      stands(alarm, OptionalDouble.of(71 - minute));
      night.pass(seconds(60));
    }

    AlarmEvent told = last().about().get(0);
    assertThat(last().number()).isGreaterThan(5);
    assertThat(told.timeInHandMinutes().orElseThrow()).isBetween(41.0, 53.0);
    assertThat(told.message())
        .isEqualTo(
            "h2: gas has stopped. About %.0f min in hand."
                .formatted(told.timeInHandMinutes().orElseThrow()));
    assertThat(told.oxygenMgPerL()).hasValue(7.2);
  }

  /** The same call, tried again after the channel was dead for a while. */
  @Test
  void triedAgain_tellsTheMinutesOfNow_underTheSameKey() {
    AlarmEvent alarm = night.high("h2", 60);
    night.dead(Set.of(new Target("Ines", "push")), FAILS);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(2));
    stands(alarm, OptionalDouble.of(44));
    night.dead(Set.of(), WORKS);
    night.pass(seconds(8));

    assertThat(last().person()).isEqualTo("Ines");
    assertThat(last().key()).isEqualTo(night.tried.get(0).call().key());
    assertThat(last().about().get(0).timeInHandMinutes()).hasValue(44);
    assertThat(last().about().get(0).message()).contains("44 min");
  }

  @Test
  void minutesThatAreToldNoLonger_endTheHurry() {
    AlarmEvent alarm = night.high("h2", 4);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(241));
    night.told.clear();
    for (int minute = 0; minute < 6; minute++) {
      stands(alarm, OptionalDouble.empty());
      night.pass(seconds(60));
    }

    assertThat(night.kindsTo("Ines")).hasSize(2); // every three minutes by now, not every one
    assertThat(last().about().get(0).timeInHandMinutes()).isEmpty();
    assertThat(last().about().get(0).message()).isEqualTo("h2: gas has stopped.");
  }

  @Test
  void minutesThatAreBack_areAHurryAgain() {
    AlarmEvent alarm = night.high("h2", 4);
    night.hear(new News.Happened(alarm));
    stands(alarm, OptionalDouble.empty());
    night.pass(Duration.ofMinutes(2));
    night.told.clear();
    stands(alarm, OptionalDouble.of(3));
    night.pass(seconds(31));

    assertThat(night.toldNames()).containsExactly("Ines", "Tom"); // a minute after the last
  }

  /** A link and a long text are not for somebody who has taken the wheel meanwhile. */
  @Test
  void triedAgain_goesToADriverAsToADriver() {
    night.dead(Set.of(new Target("Ines", "push")), FAILS);
    night.hear(new News.Happened(night.high("h2", 60)));
    night.pass(seconds(2));
    night.hear(new News.Driving("Ines", true));
    night.dead(Set.of(), WORKS);
    night.pass(seconds(8));

    assertThat(last().person()).isEqualTo("Ines");
    assertThat(last().key()).isEqualTo(night.tried.get(0).call().key());
    assertThat(night.tried.get(0).call().driving()).isFalse();
    assertThat(last().driving()).isTrue();
  }

  @Test
  void triedAgain_afterTheWheelWasLeft_isToldInFull() {
    night.hear(new News.Driving("Ines", true));
    night.dead(Set.of(new Target("Ines", "push")), FAILS);
    night.hear(new News.Happened(night.high("h2", 60)));
    night.hear(new News.Driving("Ines", false));
    night.dead(Set.of(), WORKS);
    night.pass(seconds(8));

    assertThat(last().person()).isEqualTo("Ines");
    assertThat(last().driving()).isFalse();
  }
}
