// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Locale;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmGuide;
import opercle.analysis.alarm.AlarmRule;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.HoldingLimits;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** The alarm guide says in words what the watch does with figures; both must say the same. */
class GuideAgreesTest {

  private static AlarmGuide guide(AlarmCause cause) {
    return AlarmGuide.of(cause);
  }

  private static String percent(double share) {
    return Math.round(100.0 * share) + " %";
  }

  private static String number(double value) {
    return value == Math.rint(value)
        ? Long.toString(Math.round(value))
        : String.format(Locale.ROOT, "%s", value);
  }

  @Test
  void gasMeter() {
    for (AlarmCause cause :
        new AlarmCause[] {AlarmCause.GAS_LINE_STOPPED, AlarmCause.GAS_NOT_REACHING_WATER}) {
      assertThat(guide(cause).setPoint()).contains(percent(GasMeter.STOPPED_BELOW));
      assertThat(guide(cause).delays())
          .contains(number(GasMeter.CONFIRM_SECONDS) + " s")
          .containsIgnoringCase("two of");
    }
    assertThat(guide(AlarmCause.GAS_LINE_STOPPED).setPoint())
        .contains("above " + percent(GasMeter.FLOWING_ABOVE));
  }

  @Test
  void holding() {
    assertThat(guide(AlarmCause.HELD_TOO_LONG).setPoint())
        .contains(number(HoldingLimits.USUAL_DAYS) + " days");
    assertThat(guide(AlarmCause.HELD_TOO_LONG).priorityRule()).startsWith("Low");
    assertThat(guide(AlarmCause.WASTE_HIGH).delays())
        .contains(number(HoldingChecks.RECKONED_SECONDS / 60.0) + " min");
    for (Species species : new Species[] {Species.TENCH, Species.PERCH, Species.BROWN_TROUT}) {
      HoldingLimits limits = HoldingLimits.of(SallowmereTanks.stockedWith(species));
      assertThat(guide(AlarmCause.WASTE_HIGH).setPoint())
          .contains(number(limits.ammoniaMgPerL()), number(limits.carbonDioxideMgPerL()) + " mg/L");
      assertThat(guide(AlarmCause.WASTE_HIGH).priorityRule())
          .contains(
              number(limits.ammoniaHarmsMgPerL()),
              number(limits.carbonDioxideHarmsMgPerL()) + " mg/L");
    }
  }

  @Test
  void priorities() {
    assertThat(Urgency.CAN_WAIT_MINUTES).isEqualTo(4.0 * 60.0);
    assertThat(guide(AlarmCause.GAS_LINE_STOPPED).priorityRule()).contains("four hours");
    assertThat(guide(AlarmCause.GAS_NOT_REACHING_WATER).priorityRule())
        .contains(
            "four hours",
            percent(Urgency.SURELY_LOST),
            "below " + number(Urgency.WAIT_AND_SEE_MINUTES) + " min",
            "below " + number(2.0 * Urgency.WAIT_AND_SEE_MINUTES) + " min",
            number(Urgency.SURGE_MG_PER_L) + " mg/L",
            number(FallDetector.STRANGE_SECONDS / 60.0) + " min of quiet water",
            "below " + number(Urgency.SHORT_MINUTES) + " min",
            "a fall of " + number(2.0 * Urgency.SURGE_MG_PER_L) + " mg/L");
    assertThat(guide(AlarmCause.OXYGEN_FALLING).priorityRule())
        .contains(
            number(Urgency.SHORT_MINUTES) + " min", number(2.0 * Urgency.SURGE_MG_PER_L) + " mg/L");
    assertThat(guide(AlarmCause.PROBE_SILENT).priorityRule())
        .contains(
            "after " + number(Urgency.EVERYDAY_DROP_OUT_MINUTES) + " min",
            number(Urgency.USUAL_RESPONSE_MINUTES) + " min are likely left",
            number(Urgency.UNKNOWN_HAND_PATIENCE_MINUTES) + " min where it is not known");
    assertThat(guide(AlarmCause.PROBE_SUSPECT).priorityRule())
        .contains("after " + number(Urgency.WAVE_MINUTES) + " min");
    for (AlarmCause cause :
        new AlarmCause[] {AlarmCause.GAS_NOT_REACHING_WATER, AlarmCause.OXYGEN_FALLING}) {
      assertThat(guide(cause).priorityRule())
          .contains(number(PassingDip.SETTLING_SECONDS / 60.0) + " min", "a third of the time");
    }
    assertThat(guide(AlarmCause.OXYGEN_LOW).priorityRule())
        .contains(number(Urgency.SHORT_MINUTES) + " min");
    assertThat(guide(AlarmCause.CYLINDER_LOW).priorityRule())
        .contains(
            "below " + number(Urgency.SHORT_MINUTES) + " min",
            number(SlowChecks.LOW_MINUTES / 60.0) + " h");
  }

  @Test
  void oxygen() {
    assertThat(guide(AlarmCause.OXYGEN_FALLING).setPoint())
        .contains(number(FallDetector.SLOWEST * 60.0) + " mg/L a minute");
    assertThat(guide(AlarmCause.OXYGEN_LOW).setPoint())
        .contains(number(OxygenLevel.DEADBAND_MG_PER_L) + " mg/L");
    assertThat(OxygenLevel.SAMPLES).isEqualTo(2);
    assertThat(guide(AlarmCause.OXYGEN_LOW).delays()).contains("Two samples");
    assertThat(guide(AlarmCause.OXYGEN_HIGH).setPoint())
        .contains(
            number(SlowChecks.HIGHEST_PERCENT_WITH_AIR) + " %",
            number(SlowChecks.HIGHEST_PERCENT_WITH_OXYGEN) + " %");
    assertThat(guide(AlarmCause.OXYGEN_UNEVEN).setPoint())
        .contains(SlowChecks.UNEVEN_MG_PER_L + " mg/L", percent(SlowChecks.UNEVEN_SHARE));
    assertThat(guide(AlarmCause.LOAD_TOO_HEAVY).setPoint())
        .contains(number(SlowChecks.STEADY_PER_MINUTE) + " mg/L a minute");
  }

  @Test
  void slowChecks() {
    for (AlarmCause cause :
        new AlarmCause[] {
          AlarmCause.OXYGEN_HIGH, AlarmCause.WATER_WARM, AlarmCause.OXYGEN_UNEVEN
        }) {
      assertThat(guide(cause).delays()).contains(number(SlowChecks.TEN_MINUTES / 60.0) + " min");
    }
    assertThat(guide(AlarmCause.LOAD_TOO_HEAVY).delays())
        .contains(number(SlowChecks.TOO_HEAVY_SECONDS / 60.0) + " min");
    assertThat(guide(AlarmCause.CYLINDER_LOW).setPoint())
        .contains(
            number(CylinderLeft.RESERVE_BAR) + " bar",
            number(SlowChecks.LOW_MINUTES / 60.0) + " h");
    assertThat(guide(AlarmCause.WATER_WARM).setPoint())
        .contains(number(SlowChecks.WARMING_PER_MINUTE * 60.0) + " °C an hour");
  }

  @Test
  void neverHeard() {
    assertThat(guide(AlarmCause.PROBE_SILENT).setPoint())
        .contains("first " + number(Listening.NEVER_HEARD_SECONDS / 60.0) + " min");
  }

  @ParameterizedTest
  @EnumSource(Species.class)
  void warmLimit_ofEverySpecies_isNamed(Species species) {
    Tank tank = SallowmereTanks.stockedWith(species);
    assertThat(guide(AlarmCause.WATER_WARM).setPoint())
        .contains(number(SlowChecks.warmLimitC(tank)) + " °C");
  }

  @Test
  void offDelay_isSaidOfEveryAlarmThatTheWatchRaises() {
    for (AlarmGuide guide : AlarmGuide.all()) {
      if (!guide.setPoint().startsWith("Not judged")) {
        assertThat(guide.delays())
            .as(guide.cause().id())
            .containsIgnoringCase(
                "ends after %d min".formatted(AlarmRule.of(guide.cause()).offDelay().toMinutes()));
      }
    }
  }

  @Test
  void latching_isAsTheBookDoesIt() {
    for (AlarmGuide guide : AlarmGuide.all()) {
      assertThat(guide.latches())
          .as(guide.cause().id())
          .isEqualTo(AlarmRule.of(guide.cause()).latches());
    }
  }

  @ParameterizedTest
  @EnumSource(Diagnosis.Cause.class)
  void whatTheDiagnosisSaysToDo_isInTheGuideOfAFall(Diagnosis.Cause likeliest) {
    AlarmCause cause =
        likeliest.isSupplyLost() ? AlarmCause.GAS_NOT_REACHING_WATER : AlarmCause.OXYGEN_FALLING;
    assertThat(guide(cause).actions()).contains(Diagnosis.action(likeliest));
    // The alarm of a fall keeps its cause when other suspects become the likelier.
    assertThat(guide(AlarmCause.OXYGEN_FALLING).actions()).contains(Diagnosis.action(likeliest));
    assertThat(guide(AlarmCause.GAS_NOT_REACHING_WATER).actions())
        .contains(Diagnosis.action(likeliest));
  }
}
