// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.tuple;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.Priority;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

/** What the watch makes of a tank whose oxygen is all that tells. */
class OxygenAloneTest {

  private static final String TANK = "t1";

  private final FarmWatch watch = new FarmWatch(SallowmereTanks.farm(SallowmereTanks.transport()));
  private final List<AlarmEvent> events = new ArrayList<>();
  private final Random random = new Random(5);
  private double second;

  @Test
  void lostSupply_isToldWithTimeInHandAndLikeliestCause() {
    quiet(3600);
    fall(300, 0.15);

    AlarmEvent event = first(AlarmCause.GAS_NOT_REACHING_WATER);
    assertThat(event.priority()).isEqualTo(Priority.HIGH);
    assertThat(event.time()).isBefore(SallowmereTanks.at(3600 + 120));
    // 39 to the floor.
    assertThat(event.timeInHandMinutes().orElseThrow()).isBetween(25.0, 50.0);
    assertThat(event.message())
        .matches(
            "Trailer tank: oxygen falling 0\\.\\d\\d mg/L a minute for \\d+ s as if no gas reached"
                + " the water; likeliest .+ \\(\\d+ %\\), else .+ \\(\\d+ %\\)\\."
                + " About \\d+ min in hand\\. .+\\.");
  }

  @Test
  void lostSupply_thatComesBack_clears() {
    quiet(3600);
    fall(600, 0.15);
    for (int i = 0; i < 360; i++) {
      oxygen(9.0 - 1.5 * Math.exp(-i / 60.0));
    }

    assertThat(events)
        .filteredOn(e -> e.cause() == AlarmCause.GAS_NOT_REACHING_WATER)
        .extracting(AlarmEvent::event)
        .startsWith(AlarmEvent.Kind.RAISED)
        .endsWith(AlarmEvent.Kind.CLEARED);
  }

  @Test
  void meterThatShowsTheStop_hasTheOnlyAlarm() {
    for (int i = 0; i < 720; i++) {
      gas(2.5);
      oxygen(9.0);
    }
    for (int i = 0; i < 60; i++) {
      gas(0.0);
      oxygen(9.0 - 0.15 * i * 5.0 / 60.0);
    }

    assertThat(events)
        .filteredOn(e -> e.event() == AlarmEvent.Kind.RAISED)
        .extracting(AlarmEvent::cause)
        .containsExactly(AlarmCause.GAS_LINE_STOPPED);
  }

  @Test
  void splitLine_showsInThePressureBeforeAnythingFalls() {
    for (int i = 0; i < 720; i++) {
      gas(2.5);
      pressure(0.4);
      oxygen(9.0);
    }
    for (int i = 0; i < 3; i++) {
      gas(2.7);
      pressure(0.02);
      oxygen(9.0);
    }

    AlarmEvent event = first(AlarmCause.GAS_NOT_REACHING_WATER);
    assertThat(event.time()).isEqualTo(SallowmereTanks.at(3610));
    assertThat(event.message())
        .contains("line pressure is gone (0.02 bar) for 10 s")
        .contains("hose split or off");
  }

  @Test
  void splitLine_withHalfThePressureLeft_isNamedWhenOxygenFalls() {
    for (int i = 0; i < 720; i++) {
      gas(2.5);
      pressure(0.4);
      oxygen(9.0);
    }
    for (int i = 0; i < 60; i++) {
      gas(2.7);
      pressure(0.18);
      oxygen(9.0 - 0.2 * i * 5.0 / 60.0);
    }

    assertThat(first(AlarmCause.GAS_NOT_REACHING_WATER).message())
        .contains("likeliest hose split or off after the meter");
  }

  @Test
  void demand_isLearnedWhileTheGasIsKnownToBeOff() {
    for (int i = 0; i < 720; i++) {
      gas(2.5);
      oxygen(9.0);
    }
    double books =
        watch.state(TANK, SallowmereTanks.at(second)).demandMgPerKgPerHour().orElseThrow();
    for (int i = 0; i < 120; i++) {
      gas(0.0);
      oxygen(9.0 - 0.3 * i * 5.0 / 60.0);
    }

    // 0.3 (mg/L)/min in 650 L for 140 kg.
    assertThat(watch.state(TANK, SallowmereTanks.at(second)).demandMgPerKgPerHour().orElseThrow())
        .isGreaterThan(books)
        .isBetween(83.0, 89.0);
  }

  @Test
  void fallAfterFeeding_isToldButWakesNobody() {
    quiet(3600);
    watch.note(new TankEvent(TANK, TankEvent.Kind.FED, SallowmereTanks.at(second)));
    for (int i = 0; i < 240; i++) {
      oxygen(9.0 - 0.5 * -Math.expm1(-i / 100.0));
    }

    assertThat(events)
        .isNotEmpty()
        .allSatisfy(e -> assertThat(e.priority()).isNotEqualTo(Priority.HIGH));
  }

  @Test
  void bubbleOnTheProbe_isAProbeFault_notAFallWhenItGoes() {
    quiet(3600);
    for (int i = 0; i < 120; i++) {
      oxygen(12.0);
    }
    quiet(1800);

    assertThat(events).isNotEmpty();
    assertThat(events).extracting(AlarmEvent::cause).containsOnly(AlarmCause.PROBE_SUSPECT);
  }

  @Test
  void stuckProbe_isUrgent_forNothingElseWatches() {
    quiet(3600);
    for (int i = 0; i < 60; i++) {
      send(Quantity.OXYGEN, 8.97);
      second += 5.0;
    }

    AlarmEvent event = first(AlarmCause.PROBE_SUSPECT);
    assertThat(event.priority()).isEqualTo(Priority.HIGH);
    assertThat(event.message()).contains("repeats one value");
  }

  @Test
  void stuckMeter_isTold_andDoesNotSpeakForTheGas() {
    for (int i = 0; i < 720; i++) {
      gas(2.5 + 0.02 * random.nextGaussian());
      oxygen(9.0);
    }
    for (int i = 0; i < 120; i++) {
      gas(2.5);
      oxygen(9.0);
    }
    AlarmEvent event = first(AlarmCause.PROBE_SUSPECT);
    assertThat(event.priority()).isEqualTo(Priority.MEDIUM);
    assertThat(event.message())
        .isEqualTo(
            "Trailer tank: gas meter 1 repeats one value."
                + " See whether bubbles rise, then whether the meter is stuck or unplugged.");

    for (int i = 0; i < 60; i++) {
      gas(2.5);
      oxygen(9.0 - 0.3 * 5.0 * i / 60.0);
    }
    assertThat(first(AlarmCause.GAS_NOT_REACHING_WATER).priority()).isEqualTo(Priority.HIGH);
  }

  /** What first looked like feeding, and went on and on. */
  @Test
  void slowFall_thatGoesOnAndOn_isLaidToTheSupplyInTheEnd() {
    for (int i = 0; i < 720; i++) {
      gas(2.5);
      oxygen(9.0);
    }
    for (int i = 0; i < 300; i++) {
      gas(2.5);
      oxygen(9.0 - 0.11 * 5.0 * i / 60.0);
    }

    assertThat(events)
        .filteredOn(e -> e.event() == AlarmEvent.Kind.RAISED)
        .extracting(AlarmEvent::cause)
        .containsExactly(AlarmCause.OXYGEN_FALLING, AlarmCause.GAS_NOT_REACHING_WATER);
    assertThat(events)
        .filteredOn(e -> e.event() == AlarmEvent.Kind.CLEARED)
        .extracting(AlarmEvent::message)
        .allMatch(words -> words.contains("another alarm speaks for this fall now"));
  }

  @Test
  void probeThatSettlesWhenFirstHeard_isToldButWakesNobodyForFiveMinutes() {
    for (int i = 0; i < 60; i++) {
      oxygen(9.0 + 1.0 * Math.exp(-i / 20.0));
    }

    assertThat(events).isNotEmpty();
    assertThat(events).extracting(AlarmEvent::priority).doesNotContain(Priority.HIGH);
  }

  @Test
  void supplyLostFromTheStart_wakesWithinFiveMinutesOfItsFinding() {
    fall(900, 0.2);

    AlarmEvent woken =
        events.stream().filter(e -> e.priority() == Priority.HIGH).findFirst().orElseThrow();
    assertThat(woken.cause()).isEqualTo(AlarmCause.GAS_NOT_REACHING_WATER);
    assertThat(woken.time()).isBeforeOrEqualTo(SallowmereTanks.at(360));
  }

  @Test
  void bubbleThatLetsGoSlowly_wakesNobody_thoughItLooksLikeALostSupply() {
    quiet(3600);
    for (int i = 0; i < 24; i++) {
      oxygen(12.0);
    }
    for (int i = 0; i < 360; i++) {
      oxygen(8.55 + 0.45 * Math.exp(-i / 20.0));
    }

    assertThat(events).extracting(AlarmEvent::cause).contains(AlarmCause.PROBE_SUSPECT);
    assertThat(events).extracting(AlarmEvent::priority).doesNotContain(Priority.HIGH);
  }

  @Test
  void onlyProbe_splashed_wakesNobody_butOutOfTheWaterForMinutesDoes() {
    quiet(3600);
    outOfTheWater(60);
    quiet(1200);

    assertThat(events)
        .extracting(AlarmEvent::cause, AlarmEvent::event, AlarmEvent::priority)
        .containsExactly(
            tuple(AlarmCause.PROBE_SUSPECT, AlarmEvent.Kind.RAISED, Priority.MEDIUM),
            tuple(AlarmCause.PROBE_SUSPECT, AlarmEvent.Kind.CLEARED, Priority.MEDIUM));
    assertThat(events.get(0).message()).contains("seems to be out of the water");

    double from = second;
    events.clear();
    outOfTheWater(300);

    assertThat(events)
        .extracting(AlarmEvent::cause, AlarmEvent::event, AlarmEvent::priority)
        .containsExactly(
            tuple(AlarmCause.PROBE_SUSPECT, AlarmEvent.Kind.RAISED, Priority.MEDIUM),
            tuple(AlarmCause.PROBE_SUSPECT, AlarmEvent.Kind.ESCALATED, Priority.HIGH));
    assertThat(events.get(1).time())
        .isBetween(
            SallowmereTanks.at(from + 60.0 * Urgency.WAVE_MINUTES),
            SallowmereTanks.at(from + 60.0 * Urgency.WAVE_MINUTES + 60.0));
  }

  @Test
  void cleanedProbe_mayStep() {
    quiet(3600);
    watch.note(new TankEvent(TANK, TankEvent.Kind.PROBE_CLEANED, SallowmereTanks.at(second)));
    for (int i = 0; i < 360; i++) {
      oxygen(i == 0 ? 9.0 : 8.0);
      if (i == 0) {
        watch.note(new TankEvent(TANK, TankEvent.Kind.PROBE_CLEANED, SallowmereTanks.at(second)));
      }
    }

    assertThat(events)
        .extracting(AlarmEvent::cause)
        .doesNotContain(AlarmCause.GAS_NOT_REACHING_WATER, AlarmCause.OXYGEN_FALLING);
  }

  /** An old fall that has settled says nothing of a line that stops now. */
  @Test
  void gasStops_longAfterAFallHasSettledLow_isHigh_byTheBooks() {
    for (int i = 0; i < 720; i++) {
      gas(2.5);
      oxygen(9.0);
    }
    double level = 9.0;
    for (int i = 0; i < 2880; i++) {
      level = 5.5 + (level - 5.5) * Math.exp(-5.0 / 600.0);
      gas(2.5);
      oxygen(level);
    }
    for (int i = 0; i < 5; i++) {
      gas(0.0);
      oxygen(level);
    }

    AlarmEvent event = first(AlarmCause.GAS_LINE_STOPPED);
    assertThat(event.priority()).isEqualTo(Priority.HIGH);
    assertThat(event.timeInHandMinutes().orElseThrow()).isLessThan(60.0);
  }

  /** What was raised on suspicion must not say that all is well while the fall goes on. */
  @Test
  void suspicion_thatWasRight_neverEndsAsNoLongerFalling() {
    quiet(3600);
    for (int i = 0; i < 240; i++) {
      oxygen(9.0 - 0.2 * 5.0 * i / 60.0);
    }

    assertThat(first(AlarmCause.GAS_NOT_REACHING_WATER).priority()).isEqualTo(Priority.HIGH);
    assertThat(events)
        .extracting(AlarmEvent::message)
        .noneMatch(words -> words.contains("no longer falling"));
  }

  @Test
  void figures_traceToTheirReadings() {
    for (int i = 0; i < 720; i++) {
      gas(2.5);
      oxygen(9.0);
    }
    Origins before = watch.state(TANK, SallowmereTanks.at(second)).checks().origins();
    for (int i = 0; i < 120; i++) {
      gas(0.0);
      oxygen(9.0 - 0.3 * i * 5.0 / 60.0);
    }
    Origins after = watch.state(TANK, SallowmereTanks.at(second)).checks().origins();

    assertThat(before.oxygen()).contains(new Origins.Heard("1", SallowmereTanks.at(3595)));
    assertThat(before.demandMeasured()).contains(false);
    assertThat(before.fallingSince()).isEmpty();
    assertThat(after.gasFlow()).contains(new Origins.Heard("1", SallowmereTanks.at(4195)));
    assertThat(after.demandMeasured()).contains(true);
    assertThat(after.fallingSince().orElseThrow())
        .isBetween(SallowmereTanks.at(3570), SallowmereTanks.at(3630));
  }

  @Test
  void oxygenThatIsTooOldToStandForNow_stillTellsWhichReadingItWas() {
    for (int i = 0; i < 20; i++) {
      gas(2.5);
      oxygen(9.0);
    }

    TankState later = watch.state(TANK, SallowmereTanks.at(second + 600));

    assertThat(later.oxygenMgPerL()).isEmpty();
    assertThat(later.checks().origins().oxygen())
        .contains(new Origins.Heard("1", SallowmereTanks.at(95)));
  }

  @Test
  void cylinderRunningLow_isForetold() {
    for (int i = 0; i < 20; i++) {
      gas(2.5);
      send(Quantity.CYLINDER_PRESSURE, 20.0);
      oxygen(9.0);
    }

    AlarmEvent event = first(AlarmCause.CYLINDER_LOW);
    assertThat(event.priority()).isEqualTo(Priority.MEDIUM);
    assertThat(event.message()).contains("lasts about 78 min");
    TankState state = watch.state(TANK, SallowmereTanks.at(second));
    double cylinder =
        state.timeInHand().likelyMinutes().orElseThrow()
            - state.timeInHandIfGasStops().likelyMinutes().orElseThrow();
    assertThat(cylinder).as("down to 5 bar, 296 L at 2.5 L/min").isCloseTo(118.0, within(1.0));
  }

  @Test
  void twoProbesApart_areToldAfterTenMinutes() {
    for (int i = 0; i < 200; i++) {
      events.addAll(
          watch.accept(
              new Reading(TANK, Quantity.OXYGEN, "2", SallowmereTanks.at(second), noisy(11.5))));
      oxygen(9.0);
    }

    assertThat(first(AlarmCause.OXYGEN_UNEVEN).message()).contains("apart");
  }

  private void quiet(double seconds) {
    for (double t = 0.0; t < seconds; t += 5.0) {
      oxygen(9.0);
    }
  }

  private void fall(double seconds, double perMinute) {
    for (double t = 0.0; t < seconds; t += 5.0) {
      oxygen(9.0 - perMinute * t / 60.0);
    }
  }

  private void outOfTheWater(double seconds) {
    for (double t = 0.0; t < seconds; t += 5.0) {
      send(Quantity.TEMPERATURE, 17.0);
      send(Quantity.OXYGEN, noisy(9.9));
      second += 5.0;
    }
  }

  private double noisy(double mgPerL) {
    return Math.round(100.0 * (mgPerL + 0.04 * random.nextGaussian())) / 100.0;
  }

  private void oxygen(double mgPerL) {
    send(Quantity.TEMPERATURE, 12.0);
    send(Quantity.OXYGEN, noisy(mgPerL));
    second += 5.0;
  }

  private void gas(double litresPerMinute) {
    send(Quantity.GAS_FLOW, litresPerMinute);
  }

  private void pressure(double bar) {
    send(Quantity.LINE_PRESSURE, bar);
  }

  private void send(Quantity quantity, double value) {
    events.addAll(watch.accept(SallowmereTanks.reading(TANK, quantity, second, value)));
  }

  private AlarmEvent first(AlarmCause cause) {
    return events.stream().filter(e -> e.cause() == cause).findFirst().orElseThrow();
  }
}
