// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static opercle.analysis.alarm.AlarmCause.GAS_LINE_STOPPED;
import static opercle.analysis.alarm.AlarmCause.OXYGEN_FALLING;
import static opercle.analysis.alarm.Priority.HIGH;
import static opercle.dashboard.assess.HandMadeNight.band;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.offset;

import java.util.List;
import opercle.analysis.watch.TimeInHand;
import opercle.dashboard.assess.Calibration.Verdict;
import opercle.simulator.NightKind;
import org.junit.jupiter.api.Test;

class CalibrationTest {

  private static final TimeInHand HOLDING = new TimeInHand.Holding();
  private static final TimeInHand UNKNOWN = new TimeInHand.Unknown("no reading");

  private static Calibration row(String what, HandMadeNight... nights) {
    return Calibration.all(List.of(nights).stream().map(HandMadeNight::made).toList()).stream()
        .filter(c -> c.what().equals(what))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void stated_isJudgedByWhereTheTruthLies() {
    assertThat(Calibration.judge(band(10, 20), 15)).isEqualTo(Verdict.HELD);
    assertThat(Calibration.judge(band(10, 20), 10)).isEqualTo(Verdict.HELD);
    assertThat(Calibration.judge(band(10, 20), 9)).isEqualTo(Verdict.TOO_LONG);
    assertThat(Calibration.judge(band(10, 20), 21)).isEqualTo(Verdict.TOO_SHORT);
    assertThat(Calibration.judge(HOLDING, 15)).isEqualTo(Verdict.SAID_HOLDING);
    assertThat(Calibration.judge(UNKNOWN, 15)).isEqualTo(Verdict.SAID_NOTHING);
  }

  @Test
  void everyMinute_nightsWeighTheSame_andOnlyOnsetToFloorCounts() {
    Calibration c =
        row(
            "as things go, every minute",
            HandMadeNight.of(NightKind.LINE_STOPS)
                .harmAt(104)
                .look(99, HOLDING, HOLDING)
                .look(101, band(2, 4), HOLDING)
                .look(102, band(1, 3), HOLDING)
                .look(103, band(9, 10), HOLDING)
                .look(104, HOLDING, HOLDING),
            HandMadeNight.of(NightKind.LOAD_TOO_HEAVY).harmAt(200).look(150, UNKNOWN, HOLDING));

    assertThat(c.nights()).isEqualTo(2);
    assertThat(c.shares().get(Verdict.HELD)).isEqualTo(1.0 / 3.0, offset(1e-9));
    assertThat(c.shares().get(Verdict.TOO_LONG)).isEqualTo(1.0 / 6.0, offset(1e-9));
    assertThat(c.shares().get(Verdict.SAID_NOTHING)).isEqualTo(0.5, offset(1e-9));
    assertThat(c.medianSpread()).hasValue(2.0); // of 2, 3 and 10/9
  }

  @Test
  void atTheAlarm_isTheOneThatNoticed() {
    Calibration c =
        row(
            "as things go, at the alarm",
            HandMadeNight.of(NightKind.LINE_STOPS)
                .harmAt(130)
                .told(50, OXYGEN_FALLING, HIGH, 8.0, HOLDING)
                .told(110, GAS_LINE_STOPPED, HIGH, 8.0, band(15, 25)));

    assertThat(c.nights()).isEqualTo(1);
    assertThat(c.shares().get(Verdict.HELD)).isEqualTo(1.0, offset(1e-9));
  }

  @Test
  void ifGasStops_isOnTrialOnlyWhereAllGasIsLost() {
    Calibration c =
        row(
            "if gas stops, every minute",
            HandMadeNight.of(NightKind.LINE_STOPS).harmAt(130).look(110, HOLDING, band(10, 30)),
            HandMadeNight.of(NightKind.PARTIAL_LOSS).harmAt(130).look(110, HOLDING, band(1, 2)));

    assertThat(c.nights()).isEqualTo(1);
    assertThat(c.shares().get(Verdict.HELD)).isEqualTo(1.0, offset(1e-9));
  }

  @Test
  void noHarmfulNight_hasNoShares() {
    assertThat(row("as things go, every minute", HandMadeNight.of(NightKind.LINE_STOPS)).nights())
        .isZero();
  }
}
