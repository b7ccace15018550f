// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static opercle.analysis.calling.Night.FAILS;
import static opercle.analysis.calling.Night.HANGS;
import static opercle.analysis.calling.Night.LONDON;
import static opercle.analysis.calling.Night.seconds;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalTime;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.calling.Night.Told;
import org.junit.jupiter.api.Test;

class CallingTest {

  private final Night night = Night.ofThree();

  private List<String> toldAfter(long secondsSinceStart) {
    Instant at = Night.TWO_IN_THE_MORNING.plusSeconds(secondsSinceStart);
    return night.told.stream()
        .filter(t -> t.at().equals(at))
        .map(t -> t.call().person() + " " + t.call().channel())
        .toList();
  }

  @Test
  void highAlarm_callsInSteps_untilEverybodyIsCalled() {
    night.hear(new News.Happened(night.high("h2", 15)));
    night.pass(seconds(400));

    assertThat(toldAfter(0)).containsExactly("Maren push");
    assertThat(toldAfter(30)).containsExactly("Maren push", "Maren mail");
    assertThat(toldAfter(90))
        .containsExactly("Maren push", "Maren mail", "Tomas mail", "Tomas webhook");
    assertThat(toldAfter(180)).hasSize(5).contains("Ines mail");
    assertThat(toldAfter(360)).hasSize(5);
    assertThat(night.told).hasSize(1 + 2 + 4 + 5 + 5);
  }

  @Test
  void waits_goInProportionToTheTimeInHand() {
    night.hear(new News.Happened(night.high("h2", 60)));
    night.pass(seconds(119));
    assertThat(night.told).hasSize(1);

    night.pass(seconds(1));
    assertThat(night.told).hasSize(3);
  }

  @Test
  void lessThanFiveMinutes_callsEverybodyAtOnce_andAgainEveryMinute() {
    night.hear(new News.Happened(night.high("t1", 4.9)));
    assertThat(night.told).hasSize(5);

    night.pass(seconds(60));
    assertThat(night.told).hasSize(10);
  }

  @Test
  void timeInHandThatShrinksBelowFiveMinutes_callsEverybodyAtOnce() {
    AlarmEvent alarm = night.high("t1", 30);
    night.hear(new News.Happened(alarm));
    assertThat(night.told).hasSize(1);

    night.pass(seconds(2));
    night.hear(new News.Standing(List.of(Night.now(alarm, OptionalDouble.of(4)))));
    assertThat(night.toldNames()).containsExactly("Maren", "Tomas", "Ines");
  }

  @Test
  void acknowledged_stopsCalling_andTellsThoseCalledWhoHasIt() {
    AlarmEvent alarm = night.high("h2", 15);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(100));
    night.told.clear();

    night.hear(new News.Happened(night.acknowledged(alarm, "Maren")));
    night.pass(Duration.ofHours(1));

    assertThat(night.told)
        .singleElement()
        .satisfies(
            t -> {
              assertThat(t.call().person()).isEqualTo("Tomas");
              assertThat(t.call().kind()).isEqualTo(Kind.TAKEN);
              assertThat(t.call().by()).contains("Maren");
            });
  }

  @Test
  void acknowledgedButWorse_callsAgainFromTheFirst() {
    AlarmEvent alarm = night.high("h2", 15);
    night.hear(new News.Happened(alarm));
    night.hear(new News.Happened(night.acknowledged(alarm, "Maren")));
    night.pass(Duration.ofMinutes(10));
    night.told.clear();

    night.hear(
        new News.Happened(
            night.after(
                alarm,
                AlarmEvent.Kind.RE_ALARMED,
                AlarmState.UNACKNOWLEDGED,
                Optional.of("Maren"))));

    assertThat(night.told).extracting(t -> t.call().kind()).containsExactly(Kind.ALARM);
    assertThat(night.tried.stream().map(t -> t.call().key())).doesNotHaveDuplicates();
  }

  @Test
  void cleared_stopsCalling_andSaysSo() {
    AlarmEvent alarm = night.high("h2", 15);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(10));
    night.hear(
        new News.Happened(
            night.after(
                alarm,
                AlarmEvent.Kind.CLEARED,
                AlarmState.RETURNED_UNACKNOWLEDGED,
                Optional.empty())));
    night.pass(Duration.ofMinutes(30));

    assertThat(night.kindsTo("Maren")).containsExactly(Kind.ALARM, Kind.ENDED);
  }

  @Test
  void anothersConsequence_callsNobody() {
    AlarmEvent alarm = night.high("h2", 15);
    night.hear(
        new News.Happened(
            night.after(alarm, AlarmEvent.Kind.RAISED, AlarmState.SUPPRESSED, Optional.empty())));
    night.pass(Duration.ofMinutes(10));

    assertThat(night.made).isEmpty();
  }

  @Test
  void failedChannel_isRoutedRoundAtOnce() {
    night.dead(Set.of(new Target("Maren", "push")), FAILS);
    night.hear(new News.Happened(night.high("h2", 15)));

    assertThat(toldAfter(0)).containsExactly("Maren mail");
  }

  @Test
  void deadPerson_isRoutedRoundToTheNextAtOnce() {
    night.dead(Set.of(new Target("Maren", "push"), new Target("Maren", "mail")), FAILS);
    night.hear(new News.Happened(night.high("h2", 15)));

    assertThat(toldAfter(0)).containsExactly("Tomas mail");
  }

  @Test
  void channelThatDoesNotAnswer_isRoutedRoundWhenPatienceEnds() {
    night.dead(Set.of(new Target("Maren", "push")), HANGS);
    night.hear(new News.Happened(night.high("h2", 60)));
    night.pass(seconds(14));
    assertThat(night.told).isEmpty();

    night.pass(seconds(1));
    assertThat(toldAfter(15)).containsExactly("Maren mail");
  }

  @Test
  void channelKnownToBeDead_isNotWaitedForASecondTime() {
    night.dead(Set.of(new Target("Maren", "push")), HANGS);
    night.hear(new News.Happened(night.high("h2", 60)));
    night.pass(seconds(20));
    night.told.clear();

    night.hear(new News.Happened(night.high("h3", 60)));
    assertThat(night.told)
        .extracting(t -> t.call().person() + " " + t.call().channel())
        .containsExactly("Maren mail");
  }

  @Test
  void failedCall_isTriedAgainUnderItsKey_laterEachTime() {
    night.dead(Set.of(new Target("Ines", "mail")), FAILS);
    Night alone = Night.of(List.of(new Person("Ines", List.of("mail"), Optional.empty())));
    alone.dead(Set.of(new Target("Ines", "mail")), FAILS);
    alone.hear(new News.Happened(alone.high("h2", 60)));
    alone.pass(seconds(119)); // before the next step makes a call of its own

    List<Told> tried = alone.tried;
    assertThat(tried.stream().map(t -> t.call().key()).distinct()).hasSize(1);
    assertThat(tried.size()).isBetween(4, 7);
    for (int i = 2; i < tried.size(); i++) {
      assertThat(Duration.between(tried.get(i - 1).at(), tried.get(i).at()))
          .isGreaterThan(Duration.between(tried.get(i - 2).at(), tried.get(i - 1).at()));
    }
  }

  @Test
  void refusedCall_isNotTriedAgain() {
    Night alone = Night.of(List.of(new Person("Ines", List.of("mail"), Optional.empty())));
    alone.channels = target -> call -> Optional.of(Delivery.refused("no such mailbox"));
    alone.hear(new News.Happened(alone.high("h2", 60)));
    alone.pass(seconds(119));

    assertThat(alone.tried).hasSize(1);
  }

  @Test
  void channelThatAsksToBeLeftAlone_isLeftAlone() {
    Night alone = Night.of(List.of(new Person("Ines", List.of("mail"), Optional.empty())));
    alone.channels =
        target -> call -> Optional.of(new Delivery.Failed("429", true, Optional.of(seconds(100))));
    alone.hear(new News.Happened(alone.high("h2", 15)));
    alone.pass(seconds(99));
    assertThat(alone.tried).hasSize(1);

    alone.channels = target -> Night.WORKS;
    alone.pass(seconds(1));
    assertThat(alone.told).hasSize(1);
  }

  @Test
  void restart_sendsWhatWasOnItsWayUnderTheSameKey_andGoesOn() {
    night.channels = target -> HANGS;
    night.hear(new News.Happened(night.high("h2", 15)));
    String key = night.tried.get(0).call().key();

    night.channels = target -> Night.WORKS;
    night.restart(seconds(5));

    assertThat(night.told).extracting(t -> t.call().key()).containsExactly(key);
    night.pass(seconds(30));
    assertThat(night.told.size()).isGreaterThan(1);
  }

  @Test
  void eventToldAgainAfterARestart_changesNothing() {
    AlarmEvent alarm = night.high("h2", 15);
    night.hear(new News.Happened(alarm));
    night.restart(seconds(1));
    int before = night.made.size();

    night.hear(new News.Happened(alarm));
    assertThat(night.made).hasSize(before);
  }

  @Test
  void clockPutBack_keepsNobodyWaiting() {
    night.hear(new News.Happened(night.high("h2", 15)));
    night.now = night.now.minus(Duration.ofHours(1));
    night.hear();
    night.pass(seconds(30));

    assertThat(night.told).hasSize(3);
  }

  @Test
  void standingAlarmNeverHeardOf_isCalled_andOneThatIsForgottenIsNot_norSaidToBeOver() {
    AlarmEvent alarm = night.high("h2", 15);
    night.hear(new News.Standing(List.of(alarm)));
    assertThat(night.told).hasSize(1);

    night.hear(new News.Standing(List.of()));
    night.pass(Duration.ofMinutes(30));
    assertThat(night.kindsTo("Maren")).containsExactly(Kind.ALARM);
  }

  @Test
  void driver_isToldInOneSentence_andTheNextPersonIsCalledBeside() {
    night.hear(new News.Driving("Maren", true), new News.Happened(night.high("t1", 20)));

    assertThat(night.told)
        .extracting(t -> t.call().person() + " " + t.call().driving())
        .containsExactly("Maren true", "Tomas false");
  }

  @Test
  void driver_whoIsNotHeardOfForAnHour_isNotTakenToDrive() {
    night.hear(new News.Driving("Maren", true));
    night.pass(Duration.ofMinutes(50));
    night.hear(new News.Driving("Maren", true));
    night.pass(Duration.ofMinutes(59));
    assertThat(night.state.driving()).containsExactly("Maren");

    night.pass(Duration.ofMinutes(1));
    assertThat(night.state.driving()).isEmpty();
    night.hear(new News.Happened(night.high("t1", 20)));
    assertThat(night.told)
        .extracting(o -> o.call().person() + " " + o.call().driving())
        .containsExactly("Maren false");
  }

  @Test
  void nobodyOnCall_callsThemAllTheSame() {
    Hours day = new Hours(LocalTime.of(8, 0), LocalTime.of(18, 0));
    Night off = Night.of(List.of(new Person("Ines", List.of("mail"), Optional.of(day))));
    off.hear(new News.Happened(off.high("h2", 20)));

    assertThat(off.toldNames()).containsExactly("Ines");
  }

  @Test
  void personOffDuty_comesAfterThoseOnCall() {
    Hours day = new Hours(LocalTime.of(8, 0), LocalTime.of(18, 0));
    Night off =
        Night.of(
            List.of(
                new Person("Ines", List.of("mail"), Optional.of(day)),
                new Person("Maren", List.of("mail"), Optional.empty())));
    off.hear(new News.Happened(off.high("h2", 15)));
    off.pass(seconds(80));
    assertThat(off.toldNames()).containsExactly("Maren");

    off.pass(seconds(100));
    assertThat(off.toldNames()).containsExactly("Maren", "Ines");
  }

  @Test
  void flood_tellsTheWorstOneByOne_andTheRestTogether() {
    Night alone = Night.of(List.of(new Person("Ines", List.of("mail"), Optional.empty())));
    News[] flood = new News[30];
    for (int i = 0; i < flood.length; i++) {
      flood[i] = new News.Happened(alone.high("h" + i, 90 - i));
    }
    alone.hear(flood);
    alone.pass(Duration.ofMinutes(10).minusSeconds(1));

    assertThat(alone.told).hasSizeLessThanOrEqualTo(10);
    List<Call> calls = alone.told.stream().map(Told::call).toList();
    assertThat(calls.get(0).about().get(0).tank()).isEqualTo("h29");
    assertThat(calls.get(7).kind()).isEqualTo(Kind.MORE);
    assertThat(
            calls.subList(0, 8).stream()
                .flatMap(c -> c.about().stream())
                .map(AlarmEvent::tank)
                .distinct())
        .hasSize(30);
  }

  @Test
  void newTankAfterAFlood_isToldAtOnce_withinTheTen() {
    Night alone = Night.of(List.of(new Person("Ines", List.of("mail"), Optional.empty())));
    News[] flood = new News[30];
    for (int i = 0; i < flood.length; i++) {
      flood[i] = new News.Happened(alone.high("h" + i, 90 - i));
    }
    alone.hear(flood);
    alone.pass(seconds(240));
    alone.told.clear();
    alone.hear(new News.Happened(alone.high("t1", 3)));

    assertThat(alone.told).hasSize(1);
    assertThat(alone.told.get(0).call().about().get(0).tank()).isEqualTo("t1");
  }

  @Test
  void messages_areAtMostTen_inAnyTenMinutes() {
    Night alone = Night.of(List.of(new Person("Ines", List.of("mail"), Optional.empty())));
    alone.hear(new News.Happened(alone.high("h0", 300)));
    alone.pass(Duration.ofMinutes(8));
    for (int minute = 0; minute < 12; minute++) {
      for (int i = 0; i < 5; i++) {
        alone.hear(new News.Happened(alone.high("h" + minute + "-" + i, 40)));
      }
      alone.pass(Duration.ofMinutes(1));
    }

    assertThat(alone.told).hasSizeGreaterThan(10);
    for (int first = 0; first + 10 < alone.told.size(); first++) {
      assertThat(Duration.between(alone.told.get(first).at(), alone.told.get(first + 10).at()))
          .isGreaterThanOrEqualTo(Duration.ofMinutes(10));
    }
  }

  @Test
  void channelThatAsksToBeLeftAloneForAnHour_isTriedAfterTenMinutes() {
    Night alone = Night.of(List.of(new Person("Ines", List.of("mail"), Optional.empty())));
    alone.channels =
        target -> call -> Optional.of(new Delivery.Failed("429", true, Optional.of(seconds(3600))));
    alone.hear(new News.Happened(alone.high("h2", 15)));
    alone.channels = target -> Night.WORKS;
    alone.pass(Duration.ofMinutes(11));

    assertThat(alone.told).isNotEmpty();
  }

  @Test
  void test_goesToEveryChannel_atItsHour_andNotHoursLate() {
    CallingPlan plan =
        new CallingPlan(
            Night.THREE,
            LONDON,
            CallingPlan.USUAL_NIGHT,
            CallingPlan.USUAL_MORNING,
            CallingPlan.USUAL_PATIENCE,
            Optional.of(new TestTimes(LocalTime.of(10, 0), Optional.empty())));
    Night tested = new Night(plan, Instant.parse("2026-03-14T09:59:50Z"));
    tested.pass(seconds(9));
    assertThat(tested.told).isEmpty();
    tested.pass(seconds(60));
    assertThat(tested.told).hasSize(5).allMatch(t -> t.call().kind() == Kind.TEST);
    assertThat(tested.state.channels())
        .hasEntrySatisfying(
            new Target("Ines", "mail").id(), health -> assertThat(health.tested()).isPresent());

    tested.restart(Duration.ofHours(40)); // to two in the morning, past ten o'clock of the 15th
    assertThat(tested.told).hasSize(5);
  }

  @Test
  void testWanted_isMadeNow_forThatPerson() {
    night.hear(new News.TestWanted("Tomas", "Maren"));

    assertThat(night.told).extracting(t -> t.call().person()).containsExactly("Tomas", "Tomas");
  }

  @Test
  void testWantedOfOneChannel_isMadeByThatOneAlone() {
    night.hear(new News.TestWanted("Tomas", "Maren", Optional.of("mail")));

    assertThat(night.told).extracting(t -> t.call().channel()).containsExactly("mail");
  }
}
