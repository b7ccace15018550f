// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * No alarm chatters at its set point. Chattering is an alarm that occurs and clears three times in
 * a minute (alarm rationale, section 4); here none may even occur twice in the off-delay, and none
 * may call more than a few times in three hours of a reading that wavers about its limit.
 */
class ChatterTest {

  private static final int SECONDS = 3 * 3600;

  /**
   * Readings around a set point.
   *
   * @param middle where the readings lie, in the quantity's unit
   * @param noise their standard deviation
   * @param atMost how often the alarm may be raised in three hours
   */
  @ParameterizedTest
  @CsvSource({
    "OXYGEN,            keep,     0.1,  OXYGEN_LOW,       h1, 6",
    "OXYGEN,            keep,     0.3,  OXYGEN_LOW,       h1, 6",
    "OXYGEN,            critical, 0.2,  OXYGEN_LOW,       h1, 6",
    "OXYGEN,            14.25,    0.12, OXYGEN_HIGH,      h1, 6",
    "TEMPERATURE,       warm,     0.2,  WATER_WARM,       h1, 6",
    "GAS_FLOW,          9.0,      2.0,  GAS_LINE_STOPPED, h1, 6",
    "GAS_FLOW,          11.0,     3.0,  GAS_LINE_STOPPED, h1, 6",
    "LINE_PRESSURE,     0.2,      0.05, GAS_NOT_REACHING_WATER, h1, 6",
    "CYLINDER_PRESSURE, 101.2,    3.0,  CYLINDER_LOW,     t1, 6",
  })
  void noiseAroundASetPoint_neverChatters(
      Quantity quantity, String middle, double noise, AlarmCause cause, String id, int atMost) {
    Tank tank = id.equals("t1") ? SallowmereTanks.transport() : SallowmereTanks.holding();
    double level =
        switch (middle) {
          case "keep" -> tank.floorsInForce().keepMgPerL();
          case "critical" -> tank.floorsInForce().criticalMgPerL();
          case "warm" -> SlowChecks.warmLimitC(tank);
          default -> Double.parseDouble(middle);
        };
    FarmWatch watch = new FarmWatch(SallowmereTanks.farm(tank));
    Random random = new Random(7);
    List<AlarmEvent> events = new ArrayList<>();
    for (int s = 0; s < 900 + SECONDS; s += 2) {
      events.addAll(watch.tick(SallowmereTanks.at(s)));
      boolean noisy = s >= 900; // first it learns what is normal
      for (Quantity q :
          List.of(
              Quantity.TEMPERATURE,
              Quantity.OXYGEN,
              Quantity.GAS_FLOW,
              Quantity.LINE_PRESSURE,
              Quantity.CYLINDER_PRESSURE)) {
        if ((q == Quantity.LINE_PRESSURE || q == Quantity.CYLINDER_PRESSURE) && q != quantity) {
          continue;
        }
        double usual =
            switch (q) {
              case TEMPERATURE -> 12.0;
              case OXYGEN ->
                  cause == AlarmCause.OXYGEN_HIGH ? 13.5 : 9.0; // a leap would be doubted
              case GAS_FLOW -> tank.supply().flowLPerMin();
              case LINE_PRESSURE -> 1.0;
              default -> 180.0;
            };
        double value =
            noisy && q == quantity
                ? Math.max(0.0, level + noise * random.nextGaussian())
                : usual + 0.01 * random.nextGaussian();
        events.addAll(watch.accept(SallowmereTanks.reading(tank.id(), q, s + 0.1, value)));
      }
    }

    List<AlarmEvent> raised =
        events.stream()
            .filter(e -> e.cause() == cause && e.event() == AlarmEvent.Kind.RAISED)
            .toList();
    assertThat(raised).as("the set point is reached at all").isNotEmpty();
    assertThat(raised).hasSizeLessThanOrEqualTo(atMost);
    Instant before = Instant.MIN;
    for (AlarmEvent e : raised) {
      assertThat(e.time()).isAfter(before.plusSeconds(120));
      before = e.time();
    }
    assertThat(
            events.stream()
                .filter(e -> e.cause() == cause && e.event() == AlarmEvent.Kind.ESCALATED)
                .count())
        .as("the priority wavers as little")
        .isLessThanOrEqualTo(SECONDS / 300);
  }
}
