// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/**
 * A rule such as any controller or spreadsheet has, on the readings of one tank as they arrive. It
 * calls when its condition sets in, and may call again once the condition has been absent for two
 * minutes: the off-delay that the watch's alarms have. One thread only.
 */
final class PlainRule {

  private static final Duration OFF_DELAY = Duration.ofMinutes(2);

  private final Detector detector;
  private final Condition condition;
  private Optional<Instant> lastPresent = Optional.empty();

  private PlainRule(Detector detector, Condition condition) {
    this.detector = detector;
    this.condition = condition;
  }

  /** The three plain rules for a tank. */
  static List<PlainRule> all(Tank tank) {
    return List.of(
        new PlainRule(Detector.BELOW_SIX, new Below(6.0)),
        new PlainRule(Detector.FELL_HALF, new Fell(0.5, Duration.ofMinutes(5))),
        new PlainRule(Detector.METER_ONLY, new MeterLow(0.5 * tank.supply().flowLPerMin())));
  }

  Detector detector() {
    return detector;
  }

  /**
   * Takes a reading of the tank.
   *
   * @return whether it calls now
   */
  boolean accept(Reading reading, Instant arrived) {
    if (!condition.isPresent(reading, arrived)) {
      return false;
    }
    boolean calls = lastPresent.map(t -> !arrived.isBefore(t.plus(OFF_DELAY))).orElse(true);
    lastPresent = Optional.of(arrived);
    return calls;
  }

  /** What a rule looks for. */
  private interface Condition {
    /** Takes a reading; whether the condition is present at this reading's own probe. */
    boolean isPresent(Reading reading, Instant arrived);
  }

  private record Below(double mgPerL) implements Condition {
    @Override
    public boolean isPresent(Reading reading, Instant arrived) {
      return reading.quantity() == Quantity.OXYGEN && reading.value() < mgPerL;
    }
  }

  /** Two points: now, and the newest reading that is at least so old. */
  private static final class Fell implements Condition {

    private record Point(Instant at, double mgPerL) {}

    private final double byMgPerL;
    private final Duration within;
    private final Map<String, Deque<Point>> pasts = new HashMap<>();

    Fell(double byMgPerL, Duration within) {
      this.byMgPerL = byMgPerL;
      this.within = within;
    }

    @Override
    public boolean isPresent(Reading reading, Instant arrived) {
      if (reading.quantity() != Quantity.OXYGEN) {
        return false;
      }
      Deque<Point> past = pasts.computeIfAbsent(reading.probe(), p -> new ArrayDeque<>());
      past.addLast(new Point(arrived, reading.value()));
      Instant then = arrived.minus(within);
      Point oldest = past.removeFirst();
      while (!past.isEmpty() && !past.getFirst().at().isAfter(then)) {
        oldest = past.removeFirst();
      }
      past.addFirst(oldest);
      // Rounded readings: 0.5 is meant to be reached by 9.00 and 8.50.
      return oldest.mgPerL() - reading.value() >= byMgPerL - 1e-9;
    }
  }

  private static final class MeterLow implements Condition {

    private final double lPerMin;
    private int lowOfThree;

    MeterLow(double lPerMin) {
      this.lPerMin = lPerMin;
    }

    @Override
    public boolean isPresent(Reading reading, Instant arrived) {
      if (reading.quantity() != Quantity.GAS_FLOW) {
        return false;
      }
      lowOfThree = (lowOfThree << 1 | (reading.value() < lPerMin ? 1 : 0)) & 0b111;
      return Integer.bitCount(lowOfThree) >= 2;
    }
  }
}
