// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static opercle.analysis.alarm.AlarmCause.GAS_LINE_STOPPED;
import static opercle.analysis.alarm.AlarmCause.OXYGEN_LOW;
import static opercle.analysis.alarm.AlarmCause.PROBE_SILENT;
import static opercle.analysis.alarm.Priority.HIGH;
import static opercle.analysis.alarm.Priority.LOW;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import opercle.simulator.NightKind;
import org.junit.jupiter.api.Test;

class ConfusionTest {

  @Test
  void firstCause_betweenOnsetAndFloor_ofAnyPriority_counts() {
    Confusion confusion =
        Confusion.of(
            List.of(
                HandMadeNight.of(NightKind.LINE_STOPS)
                    .harmAt(140)
                    .told(50, OXYGEN_LOW, HIGH)
                    .told(101, PROBE_SILENT, LOW)
                    .told(102, GAS_LINE_STOPPED, HIGH)
                    .made(),
                HandMadeNight.of(NightKind.LINE_STOPS)
                    .harmAt(140)
                    .told(141, OXYGEN_LOW, HIGH)
                    .made(),
                HandMadeNight.of(NightKind.QUIET).told(1, OXYGEN_LOW, HIGH).made()));

    assertThat(confusion.rows().get(NightKind.LINE_STOPS))
        .isEqualTo(Map.of("probe-silent", 1, Confusion.NONE, 1));
    assertThat(confusion.rows().get(NightKind.QUIET)).isEqualTo(Map.of("oxygen-low", 1));
    assertThat(confusion.columns()).containsExactly("oxygen-low", "probe-silent", "none");
  }
}
