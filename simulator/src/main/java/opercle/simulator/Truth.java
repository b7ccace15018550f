// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * What was really so in a simulated night, to judge a watch by. Immutable; safe for many threads.
 *
 * <p>The oxygen is that of the whole tank. It was followed beyond the end of the night with
 * everything as it then was, so that a fault late in the night has its true end too.
 */
public final class Truth {

  private final NightKind kind;
  private final String tank;
  private final Optional<Instant> onset;
  private final Instant start;
  private final Duration step;
  private final float[] oxygenMgPerL;

  Truth(
      NightKind kind,
      String tank,
      Optional<Instant> onset,
      Instant start,
      Duration step,
      float[] oxygenMgPerL) {
    this.kind = kind;
    this.tank = tank;
    this.onset = onset;
    this.start = start;
    this.step = step;
    this.oxygenMgPerL = oxygenMgPerL;
  }

  /** What the night was about. */
  public NightKind kind() {
    return kind;
  }

  /** The tank it was about. */
  public String tank() {
    return tank;
  }

  /** When the event set in; empty on a quiet night. What comes on slowly has begun to. */
  public Optional<Instant> onset() {
    return onset;
  }

  /** How far the oxygen is known. */
  public Instant knownUntil() {
    return start.plus(step.multipliedBy(oxygenMgPerL.length - 1L));
  }

  /**
   * True oxygen of the whole tank, mg/L, linear between the instants at which it was kept.
   *
   * @throws IllegalArgumentException before the start or after {@link #knownUntil}
   */
  public double oxygenMgPerL(Instant at) {
    double steps = (double) Duration.between(start, at).toMillis() / step.toMillis();
    int last = oxygenMgPerL.length - 1;
    if (!(steps >= 0.0 && steps <= last)) {
      throw new IllegalArgumentException(
          "true oxygen of tank %s is known from %s to %s, not at %s"
              .formatted(tank, start, knownUntil(), at));
    }
    int i = (int) Math.min(last - 1.0, Math.floor(steps));
    double w = steps - i;
    return (1.0 - w) * oxygenMgPerL[i] + w * oxygenMgPerL[i + 1];
  }

  /**
   * When the oxygen is first at or below a level from an instant on.
   *
   * @return empty if it never is, as far as it is known
   */
  public Optional<Instant> reaches(double floorMgPerL, Instant from) {
    long first = Math.max(0L, ceilDiv(Duration.between(start, from).toMillis(), step.toMillis()));
    for (int i = (int) Math.min(first, oxygenMgPerL.length); i < oxygenMgPerL.length; i++) {
      if (oxygenMgPerL[i] <= floorMgPerL) {
        return Optional.of(start.plus(step.multipliedBy(i)));
      }
    }
    return Optional.empty();
  }

  /** True minutes in hand at an instant; empty if the level is never reached. */
  public OptionalDouble minutesToFloor(double floorMgPerL, Instant from) {
    return reaches(floorMgPerL, from)
        .map(t -> OptionalDouble.of(Math.max(0L, Duration.between(from, t).toMillis()) / 60_000.0))
        .orElse(OptionalDouble.empty());
  }

  private static long ceilDiv(long a, long b) {
    return -Math.floorDiv(-a, b);
  }
}
