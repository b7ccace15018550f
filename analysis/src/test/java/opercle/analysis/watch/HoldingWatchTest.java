// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.TankWork;
import opercle.analysis.records.TankEntry;
import opercle.analysis.records.TankEntry.Where;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

/** What builds up over days: who is called, how urgently, and when it stays quiet. */
class HoldingWatchTest {

  private static final Instant T0 = SallowmereTanks.T0;
  private static final OptionalDouble NONE = OptionalDouble.empty();

  private Tank tank = heldFor(Duration.ofDays(2));
  private final FarmWatch watch = new FarmWatch(farm());
  private final List<AlarmEvent> events = new ArrayList<>();
  private Instant now = T0;

  private Farm farm() {
    return new Farm("Sallowmere", 40.0, List.of(tank));
  }

  private static Tank heldFor(Duration time) {
    Tank tank = SallowmereTanks.holding();
    return tank.withLoads(
        tank.loads().stream()
            .map(l -> new Tank.Load(l.species(), l.kg(), l.count(), Optional.of(T0.minus(time))))
            .toList());
  }

  private void describe(Tank described) {
    tank = described;
    watch.describe(farm());
  }

  private void live(Duration time, double celsius, OptionalDouble ph) {
    Instant end = now.plus(time);
    while (now.isBefore(end)) {
      now = now.plusSeconds(10);
      hear(Quantity.OXYGEN, 9.0);
      hear(Quantity.TEMPERATURE, celsius);
      ph.ifPresent(value -> hear(Quantity.PH, value));
      events.addAll(watch.tick(now));
    }
  }

  private void hear(Quantity quantity, double value) {
    // a breath of noise, so that no probe seems stuck
    double noisy = value + 0.01 * Math.sin((double) now.getEpochSecond());
    events.addAll(watch.accept(new Reading("h1", quantity, "1", now, noisy)));
  }

  private void tested(double tan, double ph) {
    watch.know(
        "h1",
        new TankWork(
            List.of(
                new TankEntry.WaterTest(
                    new Where("h1", Optional.empty(), now),
                    OptionalDouble.of(tan),
                    OptionalDouble.of(ph),
                    NONE,
                    NONE,
                    NONE,
                    NONE,
                    Optional.empty()))));
  }

  private Optional<Alarm> standing(AlarmCause cause) {
    return watch.standing().stream().filter(a -> a.cause() == cause).findFirst();
  }

  @Test
  void withinTheirDays_andWithoutPh_nobodyIsCalled() {
    watch.know("h1", TankWork.NONE);
    live(Duration.ofHours(2), 14.0, NONE);

    assertThat(events).isEmpty();
  }

  @Test
  void heldTooLong_isLow_whateverTheDays_andEndsWhenTheFishAreGone() {
    describe(heldFor(Duration.ofDays(90)));
    live(Duration.ofMinutes(10), 12.0, NONE);

    assertThat(standing(AlarmCause.HELD_TOO_LONG).orElseThrow().priority()).isEqualTo(Priority.LOW);
    assertThat(standing(AlarmCause.HELD_TOO_LONG).orElseThrow().message())
        .startsWith(
            "Holding 1: fish held for 90 days at 37 kg in a cubic metre; 14 days are usual.")
        .endsWith("Plan to move these fish on, or give them more room.");
    describe(heldFor(Duration.ofDays(1)));
    live(Duration.ofMinutes(10), 12.0, NONE);
    assertThat(standing(AlarmCause.HELD_TOO_LONG).orElseThrow().state())
        .isEqualTo(AlarmState.RETURNED_UNACKNOWLEDGED);
  }

  @Test
  void aPhProbe_saysNothing_beforeWhatIsWrittenDownIsKnown() {
    describe(heldFor(Duration.ofDays(5)));
    live(Duration.ofHours(1), 20.0, OptionalDouble.of(9.0));
    assertThat(standing(AlarmCause.WASTE_HIGH)).isEmpty();

    watch.know("h1", TankWork.NONE);
    live(Duration.ofHours(1), 20.0, OptionalDouble.of(9.0));
    assertThat(standing(AlarmCause.WASTE_HIGH).orElseThrow().priority()).isEqualTo(Priority.MEDIUM);
  }

  @Test
  void aTest_calls_atOnce_andAHarmfulOneUrgently() {
    live(Duration.ofMinutes(5), 20.0, NONE);
    tested(2.0, 8.0); // 0.094 mg/L of un-ionised ammonia
    live(Duration.ofMinutes(2), 20.0, NONE);
    assertThat(standing(AlarmCause.WASTE_HIGH).orElseThrow().priority()).isEqualTo(Priority.MEDIUM);
    assertThat(standing(AlarmCause.WASTE_HIGH).orElseThrow().message())
        .contains("poisonous ammonia measured at 0.09")
        .endsWith("Stop feeding, and change part of the water, slowly.");

    tested(12.0, 8.2);
    live(Duration.ofMinutes(2), 20.0, NONE);
    assertThat(standing(AlarmCause.WASTE_HIGH).orElseThrow().priority()).isEqualTo(Priority.HIGH);
  }

  @Test
  void aBetterTest_endsIt() {
    tested(2.0, 8.0);
    live(Duration.ofMinutes(2), 20.0, NONE);
    tested(0.2, 7.4);
    live(Duration.ofMinutes(10), 20.0, NONE);

    assertThat(standing(AlarmCause.WASTE_HIGH).orElseThrow().state())
        .isEqualTo(AlarmState.RETURNED_UNACKNOWLEDGED);
    assertThat(events).filteredOn(e -> e.cause() == AlarmCause.WASTE_HIGH).hasSize(2);
  }

  @Test
  void aPhAtTheLimit_doesNotChatter() {
    describe(heldFor(Duration.ofDays(4)));
    watch.know("h1", TankWork.NONE);
    for (int i = 0; i < 24; i++) {
      live(Duration.ofMinutes(15), 12.0, OptionalDouble.of(7.55 + 0.03 * (i % 2)));
    }

    assertThat(events).filteredOn(e -> e.cause() == AlarmCause.WASTE_HIGH).hasSizeLessThan(3);
  }

  @Test
  void afterARestart_itStandsUntilWhatIsWrittenDownSaysThatItIsOver() {
    tested(2.0, 8.0);
    live(Duration.ofMinutes(2), 20.0, NONE);
    FarmWatch restarted = FarmWatch.restore(farm(), watch.snapshot());
    assertThat(restarted.standing()).isNotEmpty();
    for (int i = 0; i < 120; i++) {
      now = now.plusSeconds(10);
      var unused =
          restarted.accept(new Reading("h1", Quantity.OXYGEN, "1", now, 9.0 + 0.01 * Math.sin(i)));
      var unusedToo = restarted.tick(now);
    }
    assertThat(restarted.standing()).anyMatch(a -> a.cause() == AlarmCause.WASTE_HIGH);
  }
}
