// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static opercle.analysis.alarm.AlarmCause.OXYGEN_FALLING;
import static opercle.analysis.alarm.AlarmCause.OXYGEN_LOW;
import static opercle.analysis.alarm.AlarmCause.PROBE_SILENT;
import static opercle.analysis.alarm.AlarmCause.PROBE_SUSPECT;
import static opercle.analysis.alarm.Priority.HIGH;
import static opercle.analysis.alarm.Priority.MEDIUM;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.entry;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import opercle.analysis.watch.TimeInHand;
import opercle.dashboard.assess.FalseAlarmRow.Count;
import opercle.simulator.NightKind;
import opercle.simulator.NightKind.Group;
import org.junit.jupiter.api.Test;

class FalseAlarmRowTest {

  private static final Count NONE = new Count(0.0, 0);

  private static HandMadeNight night(NightKind kind) {
    return HandMadeNight.of(kind);
  }

  private static FalseAlarmRow row(Group group, HandMadeNight... nights) {
    return FalseAlarmRow.of(group, List.of(nights).stream().map(HandMadeNight::made).toList());
  }

  private static Count of(Detector detector, FalseAlarmRow row) {
    return row.detectors().getOrDefault(detector, NONE);
  }

  @Test
  void quietNights_countEveryHighCall_andNoOther() {
    FalseAlarmRow row =
        row(
            Group.QUIET,
            night(NightKind.QUIET)
                .told(10, OXYGEN_FALLING, HIGH)
                .told(50, OXYGEN_FALLING, HIGH)
                .told(60, PROBE_SILENT, HIGH)
                .told(70, OXYGEN_LOW, MEDIUM),
            night(NightKind.QUIET),
            night(NightKind.FEEDING).told(200, OXYGEN_FALLING, HIGH));

    assertThat(of(Detector.WATCH, row).tankNights()).isCloseTo(2.0, within(1e-9));
    assertThat(of(Detector.WATCH, row).calls()).isEqualTo(3);
    assertThat(of(Detector.WATCH, row).perHundredNights()).isCloseTo(150.0, within(1e-6));
    assertThat(row.causes()).containsOnly(entry("oxygen-falling", 2), entry("probe-silent", 1));
  }

  @Test
  void noCalls_upperLimit_isThreeOverTheNights() {
    FalseAlarmRow row = row(Group.QUIET, night(NightKind.QUIET), night(NightKind.QUIET));

    assertThat(of(Detector.WATCH, row).upperLimitPerHundredNights())
        .isCloseTo(100.0 * 2.996 / 2.0, within(0.1));
  }

  @Test
  void call_atTheKeepFloor_isNotFalse() {
    FalseAlarmRow row =
        row(
            Group.NUISANCE,
            night(NightKind.FEEDING).told(200, OXYGEN_LOW, HIGH, 4.9, new TimeInHand.Holding()));

    assertThat(of(Detector.WATCH, row).calls()).isZero();
  }

  @Test
  void call_onTheWayToHarm_isNotFalse() {
    FalseAlarmRow row =
        row(
            Group.NUISANCE,
            night(NightKind.FISH_ADDED).harmAt(800).told(200, OXYGEN_FALLING, HIGH));

    assertThat(of(Detector.WATCH, row).calls()).isZero();
  }

  @Test
  void probeFaults_telltalesOfProbesAreRight_thoseOfTheSupplyAreFalse() {
    FalseAlarmRow row =
        row(
            Group.PROBE_FAULT,
            night(NightKind.PROBE_DRIFTS)
                .told(200, PROBE_SUSPECT, HIGH)
                .told(300, OXYGEN_FALLING, HIGH));

    assertThat(row.causes()).containsOnlyKeys("oxygen-falling");
  }

  @Test
  void beforeAFault_onlyTheTimeBeforeCounts() {
    FalseAlarmRow row =
        FalseAlarmRow.beforeFaults(
            List.of(
                night(NightKind.LINE_STOPS)
                    .harmAt(140)
                    .told(50, OXYGEN_FALLING, HIGH)
                    .told(110, OXYGEN_FALLING, HIGH)
                    .called(Detector.FELL_HALF, 20)
                    .made()));

    assertThat(of(Detector.WATCH, row).tankNights()).isCloseTo(100.0 / 720.0, within(1e-9));
    assertThat(of(Detector.WATCH, row).calls()).isEqualTo(1);
    assertThat(of(Detector.FELL_HALF, row).calls()).isEqualTo(1);
  }

  @Test
  void meterRule_nightsWithoutAMeter_areNoExposure() {
    FalseAlarmRow row =
        row(Group.QUIET, night(NightKind.QUIET).withoutMeter(), night(NightKind.QUIET));

    assertThat(of(Detector.METER_ONLY, row).tankNights()).isCloseTo(1.0, within(1e-9));
    assertThat(of(Detector.BELOW_SIX, row).tankNights()).isCloseTo(2.0, within(1e-9));
  }

  @Test
  void faults_areNoFalseAlarms() {
    assertThatThrownBy(() -> row(Group.SUPPLY_FAULT)).isInstanceOf(IllegalArgumentException.class);
  }
}
