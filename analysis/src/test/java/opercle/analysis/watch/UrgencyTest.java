// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import opercle.analysis.Band;
import opercle.analysis.alarm.Priority;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class UrgencyTest {

  /** Low bound of the time in hand, minutes, and silence after which people are woken, minutes. */
  @ParameterizedTest(name = "{0} min in hand: after {1} min")
  @CsvSource({"1, 1", "9, 3", "30, 10", "45, 15", "70, 40", "90, 60", "600, 60"})
  void linkDown_wakesWhenTheTimeInHandRunsDown(double low, double patience) {
    TimeInHand time = new TimeInHand.Minutes(new Band(low, 2.0 * low, 4.0 * low));

    assertThat(Urgency.ofLinkDown(60.0 * patience - 1.0, time)).isEqualTo(Priority.MEDIUM);
    assertThat(Urgency.ofLinkDown(60.0 * patience, time)).isEqualTo(Priority.HIGH);
  }

  @Test
  void linkDown_withHandUnknown_wakesAfterFiveMinutes() {
    TimeInHand time = new TimeInHand.Unknown("no water temperature");

    assertThat(Urgency.ofLinkDown(299.0, time)).isEqualTo(Priority.MEDIUM);
    assertThat(Urgency.ofLinkDown(300.0, time)).isEqualTo(Priority.HIGH);
  }

  @Test
  void linkDown_overALightLoad_wakesWithinTheHour() {
    assertThat(Urgency.ofLinkDown(3599.0, new TimeInHand.Holding())).isEqualTo(Priority.MEDIUM);
    assertThat(Urgency.ofLinkDown(3600.0, new TimeInHand.Holding())).isEqualTo(Priority.HIGH);
  }
}
