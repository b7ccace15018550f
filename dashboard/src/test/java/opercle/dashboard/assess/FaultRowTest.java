// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static opercle.analysis.alarm.AlarmCause.GAS_LINE_STOPPED;
import static opercle.analysis.alarm.AlarmCause.GAS_NOT_REACHING_WATER;
import static opercle.analysis.alarm.AlarmCause.OXYGEN_LOW;
import static opercle.analysis.alarm.AlarmCause.PROBE_SILENT;
import static opercle.analysis.alarm.Priority.HIGH;
import static opercle.analysis.alarm.Priority.MEDIUM;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import opercle.dashboard.assess.FaultRow.Summary;
import opercle.simulator.NightKind;
import org.junit.jupiter.api.Test;

class FaultRowTest {

  private static HandMadeNight stops() {
    return HandMadeNight.of(NightKind.LINE_STOPS);
  }

  private static FaultRow row(HandMadeNight... nights) {
    return FaultRow.of("line-stops", List.of(nights).stream().map(HandMadeNight::made).toList());
  }

  private static Summary watch(HandMadeNight... nights) {
    return row(nights).detectors().getOrDefault(Detector.WATCH, Summary.of(List.of()));
  }

  @Test
  void highAlarm_inTime_isNoticedWithItsDelayAndWhatIsLeft() {
    Summary watch = watch(stops().harmAt(140).told(110, GAS_LINE_STOPPED, HIGH));

    assertThat(watch.noticed()).isEqualTo(1);
    assertThat(watch.missed()).isZero();
    assertThat(watch.medianDelaySeconds()).hasValue(600.0);
    assertThat(watch.medianShareLeft()).hasValue(0.75);
  }

  @Test
  void alarm_atTheFloorOrLater_isAMiss() {
    assertThat(watch(stops().harmAt(140).told(140, OXYGEN_LOW, HIGH)).missed()).isEqualTo(1);
  }

  @Test
  void alarm_beforeTheOnset_isAboutSomethingElse() {
    assertThat(watch(stops().harmAt(140).told(99, GAS_LINE_STOPPED, HIGH)).missed()).isEqualTo(1);
  }

  @Test
  void alarm_aboutAProbe_doesNotNotice() {
    assertThat(watch(stops().harmAt(140).told(110, PROBE_SILENT, HIGH)).missed()).isEqualTo(1);
  }

  @Test
  void mediumAlarm_countsOnlyUnderAnyPriority() {
    FaultRow row = row(stops().harmAt(140).told(110, GAS_LINE_STOPPED, MEDIUM));

    assertThat(row.detectors().getOrDefault(Detector.WATCH, Summary.of(List.of())).noticed())
        .isZero();
    assertThat(row.anyPriority().medianDelaySeconds()).hasValue(600.0);
    assertThat(row.named()).isEqualTo(1);
  }

  @Test
  void noAlarm_andTheFloorAfterTheEnd_isOpen() {
    Summary watch = watch(stops().harmAt(HandMadeNight.END + 60));

    assertThat(watch.open()).isEqualTo(1);
    assertThat(watch.missed()).isZero();
  }

  @Test
  void floorNeverReached_isNotJudged() {
    FaultRow row = row(stops().told(110, GAS_LINE_STOPPED, HIGH), stops().harmAt(140));

    assertThat(row.nights()).isEqualTo(2);
    assertThat(row.harmful()).isEqualTo(1);
    assertThat(row.detectors().getOrDefault(Detector.WATCH, Summary.of(List.of())).judged())
        .isEqualTo(1);
  }

  @Test
  void misses_areLaterThanAnyDelay() {
    Summary watch =
        watch(
            stops().harmAt(140).told(101, GAS_LINE_STOPPED, HIGH),
            stops().harmAt(140).told(102, GAS_LINE_STOPPED, HIGH),
            stops().harmAt(140));

    assertThat(watch.medianDelaySeconds()).hasValue(120.0);
    assertThat(watch.p95DelaySeconds()).isEmpty();
  }

  @Test
  void mostlyMissed_hasNoMedianAndNothingLeft() {
    Summary watch = watch(stops().harmAt(140), stops().harmAt(140), stops().harmAt(140));

    assertThat(watch.medianDelaySeconds()).isEmpty();
    assertThat(watch.medianShareLeft()).hasValue(0.0);
  }

  @Test
  void name_dependsOnTheInstruments() {
    HandMadeNight withMeter = stops().harmAt(140).told(110, GAS_NOT_REACHING_WATER, HIGH);
    HandMadeNight without =
        stops().withoutMeter().harmAt(140).told(110, GAS_NOT_REACHING_WATER, HIGH);

    assertThat(row(withMeter).named()).isZero();
    assertThat(row(without).named()).isEqualTo(1);
  }

  @Test
  void rightName_afterAWrongOne_isNamed() {
    HandMadeNight night =
        stops().harmAt(140).told(105, OXYGEN_LOW, HIGH).told(110, GAS_LINE_STOPPED, MEDIUM);

    assertThat(row(night).named()).isEqualTo(1);
  }

  @Test
  void meterRule_isJudgedOnlyWhereThereIsAMeter() {
    FaultRow row =
        row(
            stops().harmAt(140).called(Detector.METER_ONLY, 100.5),
            stops().withoutMeter().harmAt(140));
    Summary meter = row.detectors().getOrDefault(Detector.METER_ONLY, Summary.of(List.of()));

    assertThat(meter.judged()).isEqualTo(1);
    assertThat(meter.medianDelaySeconds()).hasValue(30.0);
  }

  @Test
  void limit_isThatOfTheNightsOwnFall() {
    FaultRow row = row(stops().harmAt(140).falling(0.2));

    // detection theory note, section 3: every 5 s, noise 0.05, T90 30 s, 0.2 (mg/L)/min
    assertThat(row.limitSeconds().orElse(Double.NaN)).isCloseTo(49.0, within(1.0));
  }

  @Test
  void limit_ofAFallThatComesOnLater_isNotStated() {
    FaultRow row = row(HandMadeNight.of(NightKind.CYLINDER_RUNS_OUT).harmAt(300).falling(0.2));

    assertThat(row.limitSeconds()).isEmpty();
  }
}
