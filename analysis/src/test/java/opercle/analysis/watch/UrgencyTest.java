// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import opercle.analysis.Band;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Tank;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class UrgencyTest {

  private static final Tank BLOWER = SallowmereTanks.holding();
  private static final Tank CYLINDER = SallowmereTanks.transport();

  /** Low bound of the time in hand, minutes, and silence after which people are woken, minutes. */
  @ParameterizedTest(name = "{0} min in hand: after {1} min")
  @CsvSource({
    "1, 1", "9, 3", "12, 4", "13, 6", "14, 8", "15, 10", "30, 10", "45, 15", "70, 40", "90, 60",
    "600, 60"
  })
  void linkDown_ofATankOnABlower_wakesWhenTheTimeInHandRunsDown(double low, double patience) {
    assertWakesAfter(patience, BLOWER, low);
  }

  /** Its gas needs no power, so that one power cut does not take gas and link together. */
  @ParameterizedTest(name = "{0} min in hand: after {1} min")
  @CsvSource({
    "1, 1",
    "4, 4",
    "9, 9",
    "14, 10",
    "20, 10",
    "30, 15",
    "45, 22.5",
    "70, 40",
    "90, 60",
    "600, 60"
  })
  void linkDown_ofATankOnACylinder_mayTakeLonger(double low, double patience) {
    assertWakesAfter(patience, CYLINDER, low);
  }

  private static void assertWakesAfter(double patience, Tank tank, double low) {
    TimeInHand time = new TimeInHand.Minutes(new Band(low, 2.0 * low, 4.0 * low));

    assertThat(Urgency.ofLinkDown(tank, 60.0 * patience - 1.0, time)).isEqualTo(Priority.MEDIUM);
    assertThat(Urgency.ofLinkDown(tank, 60.0 * patience, time)).isEqualTo(Priority.HIGH);
  }

  /** Whoever is called must most likely still get there, if anybody ever could. */
  @Test
  void linkDown_ofATankOnABlower_leavesTheWayThere() {
    for (double low = 13.0; low <= 60.0; low++) {
      TimeInHand time = new TimeInHand.Minutes(new Band(low, 2.0 * low, 4.0 * low));
      double latest = Math.max(low / 3.0, 2.0 * low - Urgency.USUAL_RESPONSE_MINUTES);

      assertThat(Urgency.ofLinkDown(BLOWER, 60.0 * latest, time)).isEqualTo(Priority.HIGH);
    }
  }

  @Test
  void linkDown_withHandUnknown_wakesAfterFiveMinutes() {
    TimeInHand time = new TimeInHand.Unknown("no water temperature");

    assertThat(Urgency.ofLinkDown(BLOWER, 299.0, time)).isEqualTo(Priority.MEDIUM);
    assertThat(Urgency.ofLinkDown(BLOWER, 300.0, time)).isEqualTo(Priority.HIGH);
  }

  @Test
  void linkDown_overALightLoad_wakesWithinTheHour() {
    assertThat(Urgency.ofLinkDown(BLOWER, 3599.0, new TimeInHand.Holding()))
        .isEqualTo(Priority.MEDIUM);
    assertThat(Urgency.ofLinkDown(BLOWER, 3600.0, new TimeInHand.Holding()))
        .isEqualTo(Priority.HIGH);
  }

  /** Nobody is woken again and again by a fall that is long over. */
  @Test
  void unexplainedFall_howeverDeep_withHoursInHand_wakesNobody() {
    TimeInHand hours = new TimeInHand.Minutes(new Band(240.0, 400.0, 800.0));

    assertThat(Urgency.ofUnexplainedFall(hours, 3.0, false, false, false))
        .isEqualTo(Priority.MEDIUM);
    assertThat(Urgency.ofUnexplainedFall(new TimeInHand.Holding(), 3.0, false, false, false))
        .isEqualTo(Priority.MEDIUM);
    TimeInHand less = new TimeInHand.Minutes(new Band(239.0, 400.0, 800.0));
    assertThat(Urgency.ofUnexplainedFall(less, 3.0, false, false, false)).isEqualTo(Priority.HIGH);
  }
}
