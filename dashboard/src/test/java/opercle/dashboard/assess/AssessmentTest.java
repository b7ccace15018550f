// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static opercle.analysis.alarm.AlarmCause.GAS_LINE_STOPPED;
import static opercle.analysis.alarm.AlarmCause.PROBE_SILENT;
import static opercle.analysis.alarm.Priority.HIGH;
import static opercle.dashboard.assess.HandMadeNight.band;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.concurrent.atomic.AtomicInteger;
import opercle.dashboard.assess.Changes.Instrument;
import opercle.simulator.NightKind;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class AssessmentTest {

  private static final AssessmentPlan REPORTING = new AssessmentPlan(5, 4242, Changes.NONE);

  private static final List<NightRecord> NIGHTS =
      List.of(
          HandMadeNight.of(NightKind.QUIET).made(),
          HandMadeNight.of(NightKind.QUIET).told(30, PROBE_SILENT, HIGH).made(),
          HandMadeNight.of(NightKind.LINE_STOPS)
              .harmAt(140)
              .falling(0.2)
              .told(100.25, GAS_LINE_STOPPED, HIGH, 8.0, band(30, 50))
              .called(Detector.METER_ONLY, 100.1)
              .called(Detector.BELOW_SIX, 120)
              .look(101, band(30, 50), band(30, 50))
              .made(),
          HandMadeNight.of(NightKind.SPLIT_AFTER_METER_WITH_FOULED_PROBE)
              .harmAt(300)
              .falling(0.05)
              .made(),
          HandMadeNight.of(NightKind.PROBE_SILENT).told(101, PROBE_SILENT, HIGH).made());

  @Test
  void text_fitsATerminalAndSaysWhatWasFound() {
    String text = Assessment.of(REPORTING, NIGHTS).text();

    assertThat(text.lines()).allMatch(line -> line.length() <= 100, "at most 100 columns");
    assertThat(text)
        .contains("5 nights of 12 h, seed 4242 (for reporting), instruments as drawn")
        .containsPattern("line-stops +1 +1/1 +1/1 +0 +0 +15 s +15 s +99 % +15 s +49 s\n")
        .containsPattern("fouled-probe +1 +0/1 +0/1 +1 +0 +- +- +0 % +- +\\d")
        .containsPattern("line-stops +1/1 +15 s +1/1 +20 min +0/1 +- +1/1 +6 s\n")
        .containsPattern("quiet +watch +2.0 +1 +50.0 +237\n")
        .contains("of the watch's: probe-silent 1")
        .containsPattern("probe-silent +1 +1/1 +1/1 +60 s\n")
        .contains("a gas-line-stopped, b probe-silent, c none");
  }

  @Test
  void developmentSeed_isMarkedAsSuch() {
    AssessmentPlan plan = new AssessmentPlan(5, 7, Changes.NONE);

    assertThat(Assessment.of(plan, NIGHTS).text()).contains("not to be reported");
  }

  @Test
  void json_carriesTheSameFigures() {
    JsonNode json = Assessment.of(REPORTING, NIGHTS).json();

    assertThat(json.at("/seed").asLong()).isEqualTo(4242);
    assertThat(json.at("/faults/0/kind").asText()).isEqualTo("line-stops");
    assertThat(json.at("/faults/0/watch/medianDelaySeconds").asDouble()).isEqualTo(15.0);
    assertThat(json.at("/faults/1/watch/medianDelaySeconds").isNull()).isTrue();
    assertThat(json.at("/faults/2/kind").asText()).isEqualTo("all");
    assertThat(json.at("/falseAlarms/0/watch/calls").asInt()).isEqualTo(1);
    assertThat(json.at("/falseAlarms/1/watch/perHundredNights").isNull()).isTrue();
    assertThat(json.at("/probes/0/told").asInt()).isEqualTo(1);
    assertThat(json.at("/timeInHand/0/held").asDouble()).isEqualTo(1.0);
    assertThat(json.at("/firstCalled/quiet/none").asInt()).isEqualTo(1);
  }

  @ParameterizedTest
  @CsvSource({"0, 0 s", "99, 99 s", "100, 2 min", "5999, 100 min", "6000, 1.7 h"})
  void delay_isRoundedToWhatMatters(double seconds, String words) {
    assertThat(AssessmentText.lasting(OptionalDouble.of(seconds))).isEqualTo(words);
  }

  @Test
  void sameSeed_sameFigures_whateverTheThreads() {
    AssessmentPlan plan = new AssessmentPlan(4, 11, Changes.NONE);
    AtomicInteger nights = new AtomicInteger();
    String parallel = Assessment.run(plan, nights::incrementAndGet).text();
    List<NightRecord> oneByOne = new ArrayList<>();
    plan.plannedNights().forEach(n -> oneByOne.add(NightRun.play(n, plan.changes())));

    assertThat(parallel).isEqualTo(Assessment.of(plan, oneByOne).text());
    assertThat(nights).hasValue(4);
  }

  @Test
  void playedNight_hasItsTruthAndItsCalls() {
    AssessmentPlan.PlannedNight planned =
        new AssessmentPlan.PlannedNight(NightKind.SPLIT_BEFORE_METER, 50L);
    NightRecord night = NightRun.play(planned, Changes.NONE);
    NightRecord blind =
        NightRun.play(
            planned, new Changes(Set.of(Instrument.METER), OptionalDouble.empty(), 1.0, 1.0));

    assertThat(night.onset()).isPresent().isEqualTo(blind.onset());
    assertThat(night.isHarmful()).isTrue();
    assertThat(night.steepestMgPerLPerMin().orElse(0.0)).isBetween(0.005, 5.0);
    assertThat(night.looks()).isNotEmpty();
    assertThat(night.rules().get(Detector.BELOW_SIX)).isNotEmpty();
    assertThat(blind.fittings().flowMeter()).isFalse();
    assertThat(blind.rules()).doesNotContainKey(Detector.METER_ONLY);
  }
}
