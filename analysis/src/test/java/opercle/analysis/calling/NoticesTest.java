// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static opercle.analysis.calling.Night.FAILS;
import static opercle.analysis.calling.Night.HANGS;
import static opercle.analysis.calling.Night.seconds;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.calling.Call.Kind;
import org.junit.jupiter.api.Test;

/** What is told once, by day: it waits for the morning, and wakes nobody. */
class NoticesTest {

  private final Night night = Night.ofThree();

  @Test
  void mediumAtNight_waitsForTheMorning_andByDayIsToldOnce() {
    night.hear(new News.Happened(night.raised("h1", Priority.MEDIUM, 300)));
    night.pass(Duration.ofMinutes(290));
    assertThat(night.told).isEmpty();

    night.pass(Duration.ofMinutes(11));
    assertThat(night.kindsTo("Maren")).containsExactly(Kind.MORNING);

    night.hear(new News.Happened(night.raised("h3", Priority.MEDIUM, 300)));
    night.pass(Duration.ofHours(1));
    assertThat(night.kindsTo("Maren")).containsExactly(Kind.MORNING, Kind.NOTICE);
  }

  @Test
  void notice_goesToTheNextPerson_whereEveryWayToTheFirstIsDead() {
    Night day = new Night(Night.plan(Night.THREE), Instant.parse("2026-03-14T12:00:00Z"));
    day.dead(Set.of(new Target("Maren", "push"), new Target("Maren", "mail")), FAILS);
    day.hear(new News.Happened(day.raised("h2", Priority.MEDIUM, 60)));

    assertThat(day.told)
        .extracting(t -> t.call().person() + " " + t.call().kind())
        .containsExactly("Tomas NOTICE");
  }

  @Test
  void notice_thatSomebodyWasTold_isNotTriedAgain_whenTheFirstWayWorksAgain() {
    Night day = new Night(Night.plan(Night.THREE), Instant.parse("2026-03-14T12:00:00Z"));
    day.dead(Set.of(new Target("Maren", "push"), new Target("Maren", "mail")), FAILS);
    day.hear(new News.Happened(day.raised("h2", Priority.MEDIUM, 60)));
    day.dead(Set.of(), FAILS);
    day.pass(Duration.ofMinutes(30));

    assertThat(day.told)
        .extracting(t -> t.call().person() + " " + t.call().kind())
        .containsExactly("Tomas NOTICE");
  }

  /** The way that hangs fails only after another has been tried, and took it. */
  @Test
  void notice_thatTookAnotherWay_isNotTriedAgain_whenTheHangingWayFailsAtLast() {
    Night day = new Night(Night.plan(Night.THREE), Instant.parse("2026-03-14T12:00:00Z"));
    Target push = new Target("Maren", "push");
    day.dead(Set.of(push), HANGS);
    day.hear(new News.Happened(day.raised("h2", Priority.MEDIUM, 60)));
    day.pass(Duration.ofSeconds(20));
    assertThat(day.told).extracting(t -> t.call().channel()).containsExactly("mail");

    String hanging = day.tried.get(0).call().key();
    day.dead(Set.of(), FAILS);
    day.hear(new News.Result(hanging, Delivery.failed("no answer")));
    day.pass(Duration.ofMinutes(30));

    assertThat(day.told).hasSize(1);
  }

  @Test
  void notice_thatNoWayTook_andThatWasPutAside_isToldWhenItIsBack() {
    Night day = new Night(Night.plan(Night.THREE), Instant.parse("2026-03-14T12:00:00Z"));
    day.channels = target -> FAILS;
    AlarmEvent raised = day.raised("h2", Priority.MEDIUM, 60);
    day.hear(new News.Happened(raised));
    day.pass(Duration.ofMinutes(2));
    day.hear(
        new News.Happened(
            day.after(raised, AlarmEvent.Kind.SHELVED, AlarmState.SHELVED, Optional.of("Ines"))));
    day.channels = target -> Night.WORKS;
    day.pass(Duration.ofMinutes(30));
    assertThat(day.told).isEmpty();

    day.hear(
        new News.Happened(
            day.after(
                raised,
                AlarmEvent.Kind.UNSHELVED,
                AlarmState.UNACKNOWLEDGED,
                Optional.of("Ines"))));
    day.pass(Duration.ofMinutes(2));
    assertThat(day.told).extracting(t -> t.call().kind()).containsExactly(Kind.NOTICE);
  }

  @Test
  void notice_thatNoWayTookByDay_isNotGivenOnceItIsOver_andWakesNobodyAtNight() {
    for (boolean over : List.of(true, false)) {
      Night dusk = new Night(Night.plan(Night.THREE), Instant.parse("2026-03-14T21:30:00Z"));
      dusk.channels = target -> FAILS;
      AlarmEvent raised = dusk.raised("h2", Priority.MEDIUM, 60);
      dusk.hear(new News.Happened(raised));
      dusk.pass(Duration.ofMinutes(10));
      if (over) {
        dusk.hear(
            new News.Happened(
                dusk.after(
                    raised,
                    AlarmEvent.Kind.CLEARED,
                    AlarmState.RETURNED_UNACKNOWLEDGED,
                    Optional.empty())));
      }
      dusk.pass(Duration.ofMinutes(40));
      dusk.channels = target -> Night.WORKS;
      dusk.pass(Duration.between(dusk.now, Instant.parse("2026-03-15T06:59:00Z")));
      assertThat(dusk.told).as("at night, over: %s", over).isEmpty();

      dusk.pass(Duration.ofMinutes(2));
      assertThat(dusk.told)
          .extracting(t -> t.call().kind())
          .containsExactlyElementsOf(over ? List.of() : List.of(Kind.MORNING));
    }
  }

  @Test
  void whatWaitsForTheMorning_andTheTest_waitWhileTenMessagesAreOut() {
    Night dawn =
        new Night(
            new CallingPlan(
                List.of(new Person("Maren", List.of("mail"), Optional.empty())),
                Night.LONDON,
                CallingPlan.USUAL_NIGHT,
                CallingPlan.USUAL_MORNING,
                CallingPlan.USUAL_PATIENCE,
                Optional.of(new TestTimes(CallingPlan.USUAL_MORNING, Optional.empty()))),
            Instant.parse("2026-03-14T06:50:00Z"));
    dawn.hear(new News.Happened(dawn.raised("low", Priority.LOW, 600)));
    dawn.pass(Duration.between(dawn.now, Instant.parse("2026-03-14T06:59:00Z")));
    News[] flood =
        IntStream.range(0, 20)
            .mapToObj(i -> new News.Happened(dawn.high("h" + i, 20)))
            .toArray(News[]::new);
    dawn.hear(flood);
    dawn.pass(Duration.ofMinutes(9));

    assertThat(dawn.kindsTo("Maren").size()).isLessThanOrEqualTo(10);
    assertThat(dawn.kindsTo("Maren")).doesNotContain(Kind.MORNING, Kind.TEST);
    dawn.pass(Duration.ofMinutes(50));
    assertThat(dawn.kindsTo("Maren")).contains(Kind.MORNING, Kind.TEST);
  }

  @Test
  void morning_saysWhatIsOver() {
    AlarmEvent over = night.raised("h1", Priority.MEDIUM, 60);
    night.hear(new News.Happened(over), new News.Happened(night.raised("h2", Priority.MEDIUM, 60)));
    night.pass(seconds(60));
    night.hear(
        new News.Happened(
            night.after(
                over,
                AlarmEvent.Kind.CLEARED,
                AlarmState.RETURNED_UNACKNOWLEDGED,
                Optional.empty())));
    night.pass(Duration.between(night.now, Instant.parse("2026-03-14T07:00:05Z")));

    Call call = night.told.get(0).call();
    assertThat(call.kind()).isEqualTo(Kind.MORNING);
    assertThat(call.about()).extracting(AlarmEvent::tank).containsExactly("h2", "h1");
    assertThat(call.about()).extracting(call::isOver).containsExactly(false, true);
  }
}
