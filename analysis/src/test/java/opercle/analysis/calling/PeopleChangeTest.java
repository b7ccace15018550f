// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static opercle.analysis.calling.Night.FAILS;
import static opercle.analysis.calling.Night.seconds;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** Who is called changes while an alarm stands. */
class PeopleChangeTest {

  private static final Person MAREN = new Person("Maren", List.of("push"), Optional.empty());
  private static final Person TOMAS = new Person("Tomas", List.of("push"), Optional.empty());
  private static final Target MARENS = new Target("Maren", "push");

  @Test
  void alarmThatStands_whileNobodyIsThere_callsWhoeverIsNamedNext_atOnce() {
    Night night = Night.of(List.of());
    night.hear(new News.Happened(night.high("h2", 15)));
    night.pass(seconds(1200));
    assertThat(night.told).isEmpty();

    night.become(List.of(MAREN));

    assertThat(night.toldNames()).containsExactly("Maren");
  }

  @Test
  void whoIsCalledNoLonger_isNotCalled_andTheAlarmGoesOnToTheOthers() {
    Night night = Night.of(List.of(MAREN, TOMAS));
    night.hear(new News.Happened(night.high("h2", 15)));
    night.told.clear();

    night.become(List.of(TOMAS), MARENS);
    night.pass(seconds(600));

    assertThat(night.toldNames()).containsOnly("Tomas");
  }

  @Test
  void wayThatLeadsElsewhere_isNoLongerInDoubt() {
    Night night = Night.of(List.of(MAREN, TOMAS));
    night.dead(Set.of(MARENS), FAILS);
    night.hear(new News.Happened(night.high("h2", 15)));
    assertThat(night.state.channels()).containsKey(MARENS.id());

    night.become(List.of(MAREN, TOMAS), MARENS);

    assertThat(night.state.channels()).doesNotContainKey(MARENS.id());
  }

  @Test
  void whoWasAtTheWheel_andIsGone_doesNotComeBackAtTheWheel() {
    Night night = Night.of(List.of(MAREN, TOMAS));
    night.hear(new News.Driving("Maren", true));

    night.become(List.of(TOMAS), MARENS);
    night.become(List.of(MAREN, TOMAS), MARENS);

    assertThat(night.state.driving()).isEmpty();
  }
}
