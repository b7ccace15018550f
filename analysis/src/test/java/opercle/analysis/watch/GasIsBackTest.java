// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.function.IntPredicate;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.Test;

/** What is told, and to whom not, when a stopped supply runs again. */
class GasIsBackTest {

  private static final int STOPS = 900;
  private static final int BACK = 1800;
  private static final double NORMAL_MG_PER_L = 8.8;

  private final List<AlarmEvent> events = new ArrayList<>();

  /** Tanks with 60, 70 … kg at one blower; only the first has a meter. */
  private static FarmWatch watch(int tanks) {
    List<Tank> all = new ArrayList<>();
    for (int i = 1; i <= tanks; i++) {
      all.add(
          new Tank(
              "h" + i,
              "Holding " + i,
              Tank.Kind.HOLDING,
              1500.0,
              0.8,
              new Tank.Supply(
                  Tank.Gas.AIR,
                  Tank.Source.BLOWER,
                  Tank.Diffuser.POROUS_HOSE,
                  45.0,
                  Optional.empty(),
                  tanks == 1 ? Optional.empty() : Optional.of("shed blower")),
              List.of(SallowmereTanks.load(Species.TENCH, 50.0 + 10.0 * i, 70)),
              Optional.empty()));
    }
    FarmWatch watch = new FarmWatch(new Farm("Sallowmere", 40.0, all));
    watch.startListening();
    return watch;
  }

  /**
   * Gas stops, Maren has it after a hundred seconds, the meter flows again.
   *
   * @param reached which tanks the gas reaches once it is back, from 1
   */
  private void run(FarmWatch watch, int tanks, int end, IntPredicate reached) {
    Random random = new Random(2);
    double[] oxygen = new double[tanks + 1];
    Arrays.fill(oxygen, NORMAL_MG_PER_L);
    for (int s = 0; s < end; s += 5) {
      events.addAll(watch.tick(SallowmereTanks.at(s)));
      boolean flows = s < STOPS || s >= BACK;
      for (int i = 1; i <= tanks; i++) {
        boolean gas = s < STOPS || (flows && reached.test(i));
        oxygen[i] +=
            gas
                ? (NORMAL_MG_PER_L - oxygen[i]) * 5.0 / 1500.0
                : -0.00072 * (50.0 + 10.0 * i) * 5.0 / 60.0;
        String id = "h" + i;
        double t = s + 0.1 * i;
        accept(watch, id, Quantity.TEMPERATURE, t, 14.0 + 0.01 * random.nextGaussian());
        if (i == 1) {
          accept(watch, id, Quantity.GAS_FLOW, t, flows ? 45.0 + random.nextGaussian() : 0.1);
        }
        accept(watch, id, Quantity.OXYGEN, t, oxygen[i] + 0.02 * random.nextGaussian());
      }
      if (s == STOPS + 100 || s == STOPS + 600) {
        for (Alarm alarm : watch.standing()) {
          events.addAll(
              watch.acknowledge(alarm.tank(), alarm.cause(), "Maren", SallowmereTanks.at(s)));
        }
      }
    }
  }

  private void accept(FarmWatch watch, String tank, Quantity quantity, double t, double value) {
    events.addAll(watch.accept(SallowmereTanks.reading(tank, quantity, t, value)));
  }

  /** What calls somebody, from when on the gas is back. */
  private List<AlarmEvent> callsAfterwards() {
    return events.stream()
        .filter(e -> !e.time().isBefore(SallowmereTanks.at(BACK)))
        .filter(AlarmEvent::annunciated)
        .toList();
  }

  @Test
  void repairedTank_callsNobody_forWhatItsOxygenDidWithoutGas() {
    FarmWatch watch = watch(1);
    run(watch, 1, BACK + 2400, i -> true);

    assertThat(events).extracting(AlarmEvent::cause).contains(AlarmCause.GAS_LINE_STOPPED);
    assertThat(callsAfterwards()).isEmpty();
    assertThat(watch.standing())
        .as("the keeper looks and resets it")
        .extracting(Alarm::state)
        .containsExactly(AlarmState.LATCHED_ACKNOWLEDGED);
  }

  @Test
  void meterAtRestALittleAboveNought_isNoDoubtfulProbe() {
    run(watch(1), 1, BACK, i -> true);
    assertThat(events).extracting(AlarmEvent::cause).doesNotContain(AlarmCause.PROBE_SUSPECT);
  }

  @Test
  void gasThatFlowsAgainButDoesNotReachTheWater_callsWithinFourMinutes() {
    run(watch(1), 1, BACK + 240, i -> false);
    assertThat(callsAfterwards())
        .extracting(AlarmEvent::cause)
        .contains(AlarmCause.GAS_NOT_REACHING_WATER);
  }

  @Test
  void repairedBlower_callsNobodyByTheNextTank_ofWhatMarenHad() {
    FarmWatch watch = watch(3);
    run(watch, 3, BACK + 2400, i -> true);

    assertThat(events)
        .as("the first tank spoke for the others")
        .anyMatch(e -> e.tanks().size() == 3 && e.tank().equals("h1"));
    assertThat(callsAfterwards()).isEmpty();
    assertThat(events)
        .as("what lasted longer than the first tank's alarm, Maren has too")
        .filteredOn(e -> e.event() == AlarmEvent.Kind.UNSUPPRESSED)
        .isNotEmpty()
        .allMatch(e -> e.state() == AlarmState.ACKNOWLEDGED);
    assertThat(watch.standing()).noneMatch(a -> a.annunciated());
  }

  @Test
  void blowerThatFeedsTheFirstTankOnly_callsAgainByTheNext_wellBeforeItIsTooLate() {
    FarmWatch watch = watch(3);
    run(watch, 3, BACK + 3000, i -> i == 1);

    List<AlarmEvent> calls = callsAfterwards();
    assertThat(calls).isNotEmpty();
    assertThat(calls.get(0).tank()).isNotEqualTo("h1");
    assertThat(calls.get(0).timeInHandMinutes().orElseThrow()).isGreaterThan(20.0);
  }
}
