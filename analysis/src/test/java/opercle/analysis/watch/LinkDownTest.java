// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.Priority;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.Test;

/** What a link that drops out and comes back does to the alarms of a tank with one oxygen probe. */
class LinkDownTest {

  private static final String TANK = "t1";
  private static final double DEMAND = 1.0; // (mg/L)/min, about that of the load

  private final FarmWatch watch = new FarmWatch(SallowmereTanks.farm(SallowmereTanks.transport()));
  private final List<AlarmEvent> events = new ArrayList<>();
  private final Random random = new Random(5);
  private int second;

  @Test
  void linkThatComesBackProbeByProbe_isStillOneLink() {
    listen(1800, true, 11.0);
    silence(180);
    listen(40, false, 11.0); // the gas meter is heard first
    listen(300, true, 11.0);

    assertThat(events).extracting(AlarmEvent::cause).containsOnly(AlarmCause.PROBE_SILENT);
    assertThat(events).extracting(AlarmEvent::priority).doesNotContain(Priority.HIGH);
    assertThat(events).extracting(AlarmEvent::event).contains(AlarmEvent.Kind.CLEARED);
  }

  @Test
  void onlyProbe_thatDoesNotComeBackWithTheLink_isUrgentAfterItsOwnMinute() {
    listen(1800, true, 11.0);
    silence(180);
    int back = second;
    listen(120, false, 11.0);

    AlarmEvent high =
        events.stream().filter(e -> e.priority() == Priority.HIGH).findFirst().orElseThrow();
    assertThat(high.cause()).isEqualTo(AlarmCause.PROBE_SILENT);
    assertThat(high.time()).isBetween(SallowmereTanks.at(back + 55), SallowmereTanks.at(back + 75));
  }

  /** A silent tank with fish in it is never left for good. */
  @Test
  void linkThatStaysAway_isUrgentBeforeTheLeastTimeInHandIsOver() {
    listen(1800, true, 11.0);
    double low =
        watch.state(TANK, SallowmereTanks.at(second)).timeInHandIfGasStops()
                instanceof TimeInHand.Minutes m
            ? m.minutes().low()
            : Double.NaN;
    int from = second;
    silence(900);

    AlarmEvent high =
        events.stream().filter(e -> e.priority() == Priority.HIGH).findFirst().orElseThrow();
    assertThat(high.cause()).isEqualTo(AlarmCause.PROBE_SILENT);
    assertThat(high.time())
        .isBetween(
            SallowmereTanks.at(from + 60.0 * Urgency.EVERYDAY_DROP_OUT_MINUTES),
            SallowmereTanks.at(from + 60.0 * low));
  }

  /** Thirty seconds without a reading are no news of a fall that was told and was not urgent. */
  @Test
  void slowFall_whoseProbeIsLateForAMoment_isNoMoreUrgentThanItWas() {
    listen(3600, true, 14.0);
    for (int i = 0; i < 180; i++) {
      oxygen(14.0 - 0.03 * i * 5.0 / 60.0);
      gas();
      tick(5);
    }
    assertThat(events)
        .extracting(AlarmEvent::cause)
        .containsAnyOf(AlarmCause.OXYGEN_FALLING, AlarmCause.GAS_NOT_REACHING_WATER);
    assertThat(events).extracting(AlarmEvent::priority).doesNotContain(Priority.HIGH);

    silence(55);

    assertThat(events).extracting(AlarmEvent::priority).doesNotContain(Priority.HIGH);
  }

  /** What fell fast goes on falling unheard. */
  @Test
  void fastFall_thenSilence_isUrgent() {
    listen(3600, true, 14.0);
    for (int i = 0; i < 12; i++) {
      oxygen(14.0 - DEMAND * i * 5.0 / 60.0);
      gas();
      tick(5);
    }
    silence(120);

    assertThat(events)
        .filteredOn(e -> e.priority() == Priority.HIGH)
        .extracting(AlarmEvent::cause)
        .containsAnyOf(AlarmCause.OXYGEN_FALLING, AlarmCause.GAS_NOT_REACHING_WATER);
  }

  private void listen(int seconds, boolean withOxygen, double mgPerL) {
    for (int until = second + seconds; second < until; ) {
      if (withOxygen) {
        oxygen(mgPerL);
      }
      gas();
      tick(5);
    }
  }

  private void oxygen(double mgPerL) {
    accept(Quantity.OXYGEN, mgPerL + 0.03 * random.nextGaussian());
  }

  private void gas() {
    accept(Quantity.GAS_FLOW, 2.5 + 0.02 * random.nextGaussian());
    accept(Quantity.TEMPERATURE, 14.0);
  }

  private void accept(Quantity quantity, double value) {
    events.addAll(watch.accept(SallowmereTanks.reading(TANK, quantity, second, value)));
  }

  private void silence(int seconds) {
    tick(seconds);
  }

  private void tick(int seconds) {
    for (int until = second + seconds; second < until; ) {
      second++;
      events.addAll(watch.tick(SallowmereTanks.at(second)));
    }
  }
}
