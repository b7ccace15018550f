// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.probe;

import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import opercle.ingest.reading.Reading;
import opercle.simulator.physics.Chance;

/**
 * What lies between a tank's probes and the broker: it can be down, late, repeat itself, and give
 * the wrong time. One thread only.
 *
 * <p>While it is down, probes that send bare numbers lose what they measure; probes that send SenML
 * keep up to {@value #KEPT} readings and send them in a burst afterwards.
 */
public final class ProbeLink {

  private static final int KEPT = 2000;

  /**
   * A reading on its way.
   *
   * @param arrivalMs when it arrives, ms since 1970 by the true clock
   * @param reading as it arrives; its time may be wrong
   */
  public record Delivery(long arrivalMs, Reading reading) {}

  private final Chance chance;
  private final ArrayDeque<Reading> kept = new ArrayDeque<>();
  private final List<Delivery> onTheWay = new ArrayList<>();
  private boolean down;
  private double lateShare;
  private double twiceShare;
  private double clockOffsetSeconds;

  ProbeLink(Chance chance) {
    this.chance = chance;
  }

  /** Neither late nor double nor with a wrong clock; leaves it down if it is. */
  public void settle() {
    lateShare = 0.0;
    twiceShare = 0.0;
    clockOffsetSeconds = 0.0;
  }

  /** Cuts the link, or brings it back at an instant and sends what was kept. */
  public void setDown(boolean isDown, long nowMs) {
    if (down && !isDown) {
      long arrival = nowMs;
      for (Reading reading : kept) {
        arrival += chance.below(20); // a burst still takes a moment
        onTheWay.add(new Delivery(arrival, reading));
      }
      kept.clear();
    }
    down = isDown;
  }

  /** That share of the readings comes some seconds late, after younger ones. */
  public void comeLate(double share) {
    lateShare = share;
  }

  /** That share of the readings comes twice. */
  public void comeTwice(double share) {
    twiceShare = share;
  }

  /** The clock that stamps the readings is off by so many seconds. */
  public void misstamp(double seconds) {
    clockOffsetSeconds = seconds;
  }

  /** Whether it is down. */
  public boolean isDown() {
    return down;
  }

  /** Takes a reading at the instant that it was measured, ms since 1970 by the true clock. */
  void take(Reading reading, long measuredMs, Dialect dialect) {
    boolean stamps = dialect == Dialect.SENML;
    Reading sent =
        stamps && clockOffsetSeconds != 0.0
            ? at(reading, reading.time().plusMillis(Math.round(1000.0 * clockOffsetSeconds)))
            : reading;
    if (down) {
      if (stamps) {
        if (kept.size() == KEPT) {
          kept.removeFirst();
        }
        kept.addLast(sent);
      }
      return;
    }
    long arrival = measuredMs;
    if (lateShare > 0.0 && chance.happens(lateShare)) {
      arrival += Math.round(1000.0 * chance.logBetween(2.0, 40.0));
    }
    onTheWay.add(new Delivery(arrival, arrived(sent, stamps, arrival)));
    if (twiceShare > 0.0 && chance.happens(twiceShare)) {
      long again = arrival + Math.round(1000.0 * chance.between(0.1, 5.0));
      onTheWay.add(new Delivery(again, arrived(sent, stamps, again)));
    }
  }

  /** Moves what arrives before an instant into a list. */
  public void deliverBefore(long untilMs, List<Delivery> to) {
    if (onTheWay.isEmpty()) {
      return;
    }
    onTheWay.sort(Comparator.comparingLong(Delivery::arrivalMs));
    int n = 0;
    while (n < onTheWay.size() && onTheWay.get(n).arrivalMs() < untilMs) {
      to.add(onTheWay.get(n++));
    }
    onTheWay.subList(0, n).clear();
  }

  /** A bare number has no time but that of its arrival. */
  private static Reading arrived(Reading reading, boolean stamps, long arrivalMs) {
    return stamps ? reading : at(reading, Instant.ofEpochMilli(arrivalMs));
  }

  private static Reading at(Reading r, Instant time) {
    return time.equals(r.time())
        ? r
        : new Reading(r.tank(), r.quantity(), r.probe(), time, r.value());
  }
}
