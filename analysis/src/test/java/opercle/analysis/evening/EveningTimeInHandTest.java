// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import static opercle.analysis.evening.Evenings.check;
import static opercle.analysis.evening.Evenings.checks;
import static opercle.analysis.evening.Evenings.found;
import static opercle.analysis.evening.Evenings.state;
import static opercle.analysis.evening.Evenings.tank;
import static opercle.analysis.evening.Evenings.trailer;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.OptionalDouble;
import opercle.analysis.evening.Check.Answer;
import opercle.analysis.evening.Check.Topic;
import opercle.analysis.farm.Tank;
import opercle.analysis.watch.TankChecks.Supply;
import opercle.analysis.watch.TankChecks.Trust;
import opercle.analysis.watch.TankState;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The time in hand against how long it takes to get there. */
class EveningTimeInHandTest {

  /** 20 to 40 minutes in hand: the low bound counts, and one minute to notice with a meter. */
  @ParameterizedTest
  @CsvSource({"18.9, YES", "19.0, NO", "25.0, NO"})
  void timeInHand_againstResponse_goesByTheLowBound(double responseMinutes, Answer answer) {
    Check found = found(check(trailer(responseMinutes), state("t1")), Topic.TIME_IN_HAND);

    assertThat(found.answer()).isEqualTo(answer);
  }

  @Test
  void lessTimeThanItTakes_saysThatNoAlarmCanSaveIt_everyEvening() {
    EveningCheck first = check(trailer(25.0), state("t1"));
    EveningCheck again = check(trailer(25.0), state("t1"));

    Check found = found(first, Topic.TIME_IN_HAND);
    assertThat(found.words())
        .isEqualTo(
            "No alarm can save this tank: if gas stops, 20 min in hand at the least; 26 min needed,"
                + " 1 min to notice and 25 min for you to get gas flowing.");
    assertThat(found.action().orElseThrow()).contains("stand-by oxygen").contains("take fish out");
    assertThat(first.canGoToBed()).isFalse();
    assertThat(again).isEqualTo(first);
  }

  @Test
  void timeInHand_withoutMeter_takesLongerToNotice() {
    TankState unmetered =
        state("t1", c -> checks(Trust.TRUSTED, Supply.NOT_MEASURED, c.cylinderMinutes()));

    assertThat(found(check(trailer(13.9), unmetered), Topic.TIME_IN_HAND).isWell()).isTrue();
    assertThat(found(check(trailer(14.0), unmetered), Topic.TIME_IN_HAND).isWell()).isFalse();
  }

  /** 20 min in hand at the least: a pause may take a third of it, and is part of the notice. */
  @ParameterizedTest
  @CsvSource({"6.6, 11.0, YES", "6.6, 11.2, NO", "6.7, 1.0, NO"})
  void timeInHand_withATimer_allowsForItsPause(double pause, double response, Answer answer) {
    Check found = found(check(timed(trailer(response), pause), state("t1")), Topic.TIME_IN_HAND);

    assertThat(found.answer()).isEqualTo(answer);
  }

  @Test
  void pauseThatIsLongAgainstTheTimeInHand_isSaid() {
    Check found = found(check(timed(trailer(1.0), 15.0), state("t1")), Topic.TIME_IN_HAND);

    assertThat(found.words())
        .isEqualTo(
            "Its timer may shut the gas off for 15 min, and if gas stops, 20 min in hand at the"
                + " least: too long a pause, in which nobody would know.");
    assertThat(found.action().orElseThrow()).contains("shorter pauses");
  }

  @Test
  void responseNotSaid_isNotKnown_andSaysWhereToSayIt() {
    Tank silent = tank("t1", Tank.Source.CYLINDER, OptionalDouble.empty(), 140.0);

    Check found = found(check(silent, state("t1")), Topic.TIME_IN_HAND);

    assertThat(found.answer()).isEqualTo(Answer.UNKNOWN);
    assertThat(found.action().orElseThrow()).contains("Change the tank");
  }

  private static Tank timed(Tank t, double pause) {
    return new Tank(
        t.id(),
        t.name(),
        t.kind(),
        t.waterLitres(),
        t.depthM(),
        t.supply().withPauses(pause),
        t.loads(),
        t.floors(),
        t.responseMinutes());
  }
}
