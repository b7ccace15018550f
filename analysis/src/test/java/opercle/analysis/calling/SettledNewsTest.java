// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static opercle.analysis.calling.Night.FAILS;
import static opercle.analysis.calling.Night.HANGS;
import static opercle.analysis.calling.Night.seconds;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import org.junit.jupiter.api.Test;

/** Who was called hears how it went: always, once, and not after it has begun again. */
class SettledNewsTest {

  private static final Set<Target> TOMAS =
      Set.of(new Target("Tomas", "mail"), new Target("Tomas", "webhook"));

  private final Night night = Night.ofThree();

  private AlarmEvent cleared(AlarmEvent alarm) {
    return night.after(
        alarm, AlarmEvent.Kind.CLEARED, AlarmState.RETURNED_UNACKNOWLEDGED, Optional.empty());
  }

  private long told(String person, Kind kind) {
    return night.kindsTo(person).stream().filter(k -> k == kind).count();
  }

  private void stand(TroubleKind... kinds) {
    List<MonitorTrouble> standing = new ArrayList<>();
    for (TroubleKind kind : kinds) {
      standing.add(new MonitorTrouble(TroubleKey.of(kind), night.now, "It is so."));
    }
    night.hear(new News.Troubles(standing, true));
  }

  @Test
  void hadAfterManyReminders_isToldToAllWhoWereCalled() {
    AlarmEvent alarm = night.high("h2", 4);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(500));
    night.hear(new News.Happened(night.acknowledged(alarm, "Maren")));
    night.pass(seconds(2));

    assertThat(told("Tomas", Kind.TAKEN)).isEqualTo(1);
    assertThat(told("Ines", Kind.TAKEN)).isEqualTo(1);
    assertThat(told("Maren", Kind.TAKEN)).isZero();
  }

  @Test
  void endedAfterManyReminders_isToldToAllWhoWereCalled() {
    AlarmEvent alarm = night.high("h2", 4);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(500));
    night.hear(new News.Happened(cleared(alarm)));
    night.pass(seconds(2));

    assertThat(told("Tomas", Kind.ENDED)).isEqualTo(1);
    assertThat(told("Ines", Kind.ENDED)).isEqualTo(1);
  }

  @Test
  void manyHadAtOnce_areAllTold_asSoonAsThereIsRoom() {
    List<AlarmEvent> alarms = new ArrayList<>();
    for (int i = 0; i < 9; i++) {
      alarms.add(night.high("h" + i, 20));
    }
    night.hear(alarms.stream().map(News.Happened::new).toArray(News[]::new));
    night.pass(seconds(200));
    night.hear(
        alarms.stream()
            .map(a -> new News.Happened(night.acknowledged(a, "Maren")))
            .toArray(News[]::new));
    night.pass(Duration.ofMinutes(25));

    assertThat(told("Tomas", Kind.TAKEN)).isEqualTo(9);
  }

  @Test
  void youNeedNotGo_isNotSaid_onceCallingHasBegunAgain() {
    AlarmEvent alarm = night.high("h2", 15);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(100));
    night.dead(TOMAS, FAILS);
    night.hear(new News.Happened(night.acknowledged(alarm, "Maren")));
    night.pass(seconds(20));
    night.hear(
        new News.Happened(
            night.after(
                alarm,
                AlarmEvent.Kind.RE_ALARMED,
                AlarmState.UNACKNOWLEDGED,
                Optional.of("Maren"))));
    night.dead(Set.of(), FAILS);
    night.told.clear();
    night.pass(Duration.ofMinutes(10));

    assertThat(night.kindsTo("Tomas")).contains(Kind.ALARM).doesNotContain(Kind.TAKEN);
  }

  @Test
  void itIsOver_isNotSaid_onceThereIsAnotherOfIt() {
    AlarmEvent alarm = night.high("h2", 15);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(100));
    night.dead(TOMAS, FAILS);
    night.hear(new News.Happened(cleared(alarm)));
    night.pass(seconds(20));
    night.hear(new News.Happened(night.high("h2", 15)));
    night.dead(Set.of(), FAILS);
    night.told.clear();
    night.pass(Duration.ofMinutes(10));

    assertThat(night.kindsTo("Tomas")).contains(Kind.ALARM).doesNotContain(Kind.ENDED);
  }

  @Test
  void theMonitorsOver_isNotSaid_onceItIsBack() {
    stand(TroubleKind.BROKER_LOST);
    night.pass(seconds(100));
    night.dead(TOMAS, FAILS);
    stand();
    night.pass(MonitorCause.SETTLES.plusSeconds(20));
    stand(TroubleKind.BROKER_LOST);
    night.dead(Set.of(), FAILS);
    night.told.clear();
    night.pass(Duration.ofMinutes(10));

    assertThat(night.kindsTo("Tomas")).contains(Kind.MONITOR).doesNotContain(Kind.ENDED);
  }

  @Test
  void lessUrgent_thenOver_isToldToThoseWhoWereCalled() {
    AlarmEvent alarm = night.high("h2", 15);
    night.hear(new News.Happened(alarm));
    night.pass(seconds(100));
    AlarmEvent less =
        new AlarmEvent(
            night.now,
            alarm.tank(),
            alarm.cause(),
            AlarmEvent.Kind.CHANGED,
            Priority.MEDIUM,
            alarm.state(),
            alarm.timeInHandMinutes(),
            alarm.oxygenMgPerL(),
            alarm.message(),
            alarm.since(),
            true,
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            List.of());
    night.hear(new News.Happened(less));
    night.pass(seconds(30));
    night.hear(new News.Happened(cleared(alarm)));
    night.pass(seconds(10));

    assertThat(told("Maren", Kind.ENDED)).isEqualTo(1);
    assertThat(told("Tomas", Kind.ENDED)).isEqualTo(1);
    assertThat(told("Ines", Kind.ENDED)).isZero();
  }

  @Test
  void manyTogether_areNotTriedAgain_onceAllAreHad() {
    List<AlarmEvent> alarms = new ArrayList<>();
    for (int i = 0; i < 22; i++) {
      alarms.add(night.high("h" + i, 20));
    }
    night.dead(TOMAS, FAILS);
    night.hear(alarms.stream().map(News.Happened::new).toArray(News[]::new));
    night.pass(seconds(200));
    night.hear(
        alarms.stream()
            .map(a -> new News.Happened(night.acknowledged(a, "Maren")))
            .toArray(News[]::new));
    night.dead(Set.of(), FAILS);
    night.told.clear();
    night.pass(Duration.ofMinutes(40));

    assertThat(night.told).noneMatch(t -> t.call().isUrgent());
  }

  @Test
  void hadWhileACallWasOnItsWay_isNotCalledAnewByARestart() {
    night.dead(Set.of(new Target("Maren", "push")), HANGS);
    AlarmEvent alarm = night.high("h2", 15);
    night.hear(new News.Happened(alarm));
    night.state = night.state.resumed(night.now);
    night.dead(Set.of(), FAILS);
    night.tried.clear();
    night.hear(new News.Happened(night.acknowledged(alarm, "Tomas")));
    night.pass(Duration.ofMinutes(5));

    assertThat(night.tried).noneMatch(t -> t.call().kind() == Kind.ALARM);
  }

  @Test
  void causeThatIsOverAfterARestart_isNeverCalledFor() {
    night.dead(Set.of(new Target("Maren", "push"), new Target("Maren", "mail")), HANGS);
    stand(TroubleKind.BROKER_LOST);
    night.restart(seconds(5));
    night.dead(Set.of(), FAILS);
    night.tried.clear();
    night.pass(Duration.ofHours(3));

    assertThat(night.tried).noneMatch(t -> t.call().kind() == Kind.MONITOR);
  }

  @Test
  void whileATroubleIsGone_nobodyElseIsNotedAsCalled() {
    night.dead(Set.of(new Target("Maren", "push"), new Target("Maren", "mail")), HANGS);
    stand(TroubleKind.BROKER_LOST);
    stand();
    night.pass(Duration.ofMinutes(5));

    assertThat(night.toldNames()).as("nobody is woken by: it is over").isEmpty();
  }

  @Test
  void morning_isLateRatherThanLost_whereTheNetworkWasAway() {
    night.channels = target -> FAILS;
    night.hear(new News.Happened(night.raised("h2", Priority.MEDIUM, 60)));
    night.pass(Duration.between(night.now, Instant.parse("2026-03-14T08:00:00Z")));
    night.channels = target -> Night.WORKS;
    night.pass(Duration.ofMinutes(10));

    assertThat(night.told).extracting(t -> t.call().kind()).contains(Kind.MORNING);
  }

  @Test
  void morning_namesEachOnce_howeverOftenItCameAndWent() {
    AlarmEvent alarm = night.raised("h2", Priority.MEDIUM, 60);
    night.hear(new News.Happened(alarm));
    night.hear(new News.Happened(night.acknowledged(alarm, "Maren")));
    night.pass(seconds(60));
    night.hear(
        new News.Happened(
            new AlarmEvent(
                night.now,
                alarm.tank(),
                alarm.cause(),
                AlarmEvent.Kind.RE_ALARMED,
                Priority.MEDIUM,
                AlarmState.UNACKNOWLEDGED,
                alarm.timeInHandMinutes(),
                alarm.oxygenMgPerL(),
                alarm.message(),
                alarm.since(),
                true,
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                List.of())));
    for (int i = 0; i < 3; i++) {
      stand(TroubleKind.DATABASE_AWAY);
      night.pass(Duration.ofMinutes(3));
      stand();
      night.pass(Duration.ofMinutes(70));
    }
    night.pass(Duration.between(night.now, Instant.parse("2026-03-14T07:00:05Z")));

    Call morning = night.told.get(night.told.size() - 1).call();
    assertThat(morning.kind()).isEqualTo(Kind.MORNING);
    assertThat(morning.about()).hasSize(1);
    assertThat(morning.troubles()).hasSize(1);
  }

  @Test
  void low_waitsForTheMorningByDayToo() {
    Night day = new Night(Night.plan(Night.THREE), Instant.parse("2026-03-14T12:00:00Z"));
    day.hear(new News.Happened(day.raised("h2", Priority.LOW, 600)));
    day.pass(Duration.ofHours(2));
    assertThat(day.told).isEmpty();

    day.pass(Duration.ofHours(18));
    assertThat(day.told).extracting(t -> t.call().kind()).containsExactly(Kind.MORNING);
  }

  @Test
  void heldHeartbeat_isTold_alsoWhileADeadChannelStands() {
    Night day = new Night(Night.plan(Night.THREE), Instant.parse("2026-03-14T12:00:00Z"));
    day.hear(
        new News.Troubles(
            List.of(
                new MonitorTrouble(TroubleKey.of(TroubleKind.CHANNEL_DEAD), day.now, "So."),
                new MonitorTrouble(TroubleKey.of(TroubleKind.HEARTBEAT_HELD), day.now, "So.")),
            true));
    day.pass(Duration.ofMinutes(10));

    assertThat(day.told)
        .flatExtracting(t -> t.call().troubles())
        .extracting(t -> t.key().kind())
        .contains(TroubleKind.HEARTBEAT_HELD);
  }
}
