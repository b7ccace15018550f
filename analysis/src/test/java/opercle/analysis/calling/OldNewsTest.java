// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.calling.Call.Kind;
import org.junit.jupiter.api.Test;

/** News that comes late, again, or under a clock that was put back. */
class OldNewsTest {

  private final Night night = Night.ofThree();

  @Test
  void moreUrgentUnderAClockPutBack_callsAllTheSame() {
    AlarmEvent medium = night.raised("h2", Priority.MEDIUM, 90);
    night.hear(new News.Happened(medium));
    night.now = night.now.minus(Duration.ofHours(1));
    AlarmEvent high = urgent(medium);
    night.hear(new News.Happened(high));
    night.hear(new News.Standing(List.of(high)));

    assertThat(night.kindsTo("Maren")).containsExactly(Kind.ALARM);
  }

  private AlarmEvent urgent(AlarmEvent medium) {
    return new AlarmEvent(
        night.now,
        medium.tank(),
        medium.cause(),
        AlarmEvent.Kind.ESCALATED,
        Priority.HIGH,
        AlarmState.UNACKNOWLEDGED,
        medium.timeInHandMinutes(),
        medium.oxygenMgPerL(),
        medium.message(),
        medium.since(),
        true,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        List.of());
  }

  @Test
  void earlierOccurrenceToldAgain_callsNobody_andLeavesTheLaterOneAsItIs() {
    AlarmEvent first = night.high("h2", 15);
    night.hear(new News.Happened(first));
    night.hear(new News.Happened(night.acknowledged(first, "Maren")));
    night.pass(Duration.ofMinutes(20));
    AlarmEvent second = night.high("h2", 15);
    night.hear(new News.Happened(second));
    night.hear(new News.Happened(night.acknowledged(second, "Maren")));
    int made = night.made.size();

    night.hear(new News.Happened(first));
    night.pass(Duration.ofMinutes(5));

    assertThat(night.made).hasSize(made);
    assertThat(night.state.alarms()).containsOnlyKeys(CallingState.Occurrence.key(second));
  }

  @Test
  void lessUrgent_isNotTriedAgainAsUrgent() {
    Night alone = Night.of(List.of(new Person("Ines", List.of("mail"), Optional.empty())));
    alone.channels = target -> Night.FAILS;
    AlarmEvent high = alone.high("h2", 60);
    alone.hear(new News.Happened(high));
    AlarmEvent medium = alone.raised("h2", Priority.MEDIUM, 400);
    alone.hear(new News.Happened(medium));
    alone.channels = target -> Night.WORKS;
    alone.pass(Duration.ofMinutes(10));

    assertThat(alone.told).isEmpty();
  }
}
