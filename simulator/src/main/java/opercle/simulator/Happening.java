// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.time.Duration;
import java.util.Optional;

/**
 * Something that happens to one or more tanks, or to their instruments. Plain data.
 *
 * @param kind what
 * @param where to which tanks
 * @param after how long after the start of the run it sets in
 * @param over how long it takes to come on; zero: at once
 * @param lasting how long it lasts from when it set in; empty: for good
 * @param size how much, in the unit that its kind names
 */
public record Happening(
    Kind kind,
    Where where,
    Duration after,
    Duration over,
    Optional<Duration> lasting,
    double size) {

  public Happening {
    if (after.isNegative() || over.isNegative()) {
      throw new IllegalArgumentException(
          "%s: may not set in before the start but was after %s over %s"
              .formatted(kind, after, over));
    }
    if (!Double.isFinite(size)) {
      throw new IllegalArgumentException(
          "%s: size must be finite but was %s".formatted(kind, size));
    }
  }

  /** Sets in at once and stays. */
  public static Happening at(Duration after, Kind kind, Where where, double size) {
    return new Happening(kind, where, after, Duration.ZERO, Optional.empty(), size);
  }

  /** The same, coming on over a while. */
  public Happening over(Duration over) {
    return new Happening(kind, where, after, over, lasting, size);
  }

  /** The same, setting in later by so much. */
  Happening laterBy(Duration delay) {
    return new Happening(kind, where, after.plus(delay), over, lasting, size);
  }

  /** The same, passing again. */
  public Happening lasting(Duration lasting) {
    return new Happening(kind, where, after, over, Optional.of(lasting), size);
  }

  /** What can happen. The text says what {@code size} means. */
  public enum Kind {
    /** The tank's valve is shut by that share, 0–1. */
    VALVE_SHUTS,
    /** A split before the meter loses that share of the pressure, 0–1. */
    LINE_SPLITS_BEFORE_METER,
    /** A split after the meter lets out that share of the gas, 0–1; 1: the hose is off. */
    LINE_SPLITS_AFTER_METER,
    /** That share of the diffuser's pores is blocked, 0–1. */
    DIFFUSER_BLOCKS,
    /** Bubbles grow coarse: that share of the transfer is lost, 0–1. */
    BUBBLES_COARSEN,
    /** The farm's blower stops; size is not used. */
    BLOWER_STOPS,
    /** The cylinder has that many bar left; once. */
    CYLINDER_DOWN_TO,
    /** The keeper opens the valve by that share more, −1 to 1. */
    FLOW_TRIMMED,
    /** Fish are added: that share of the present load, frightened to twice their demand; once. */
    FISH_ADDED,
    /** Netting or another fright: demand at that multiple, fading; once. */
    FISH_HANDLED,
    /** A meal: digestion raises demand to that multiple, fading over hours; once. */
    FISH_FED,
    /** That share of the water is changed for water 2 °C cooler; once. */
    WATER_CHANGED,
    /** Surface exchange is so many times more: lid open, rough road. */
    SURFACE_STIRRED,
    /** Mixing to the far corner loses that share, 0–1. */
    CORNER_STANDS_STILL,
    /** Bacterial demand is so many times more. */
    WATER_SOURS,
    /** The air becomes warmer by so many °C. */
    WARM_SPELL,
    /** The first oxygen probe and the thermometer hang out of the water; size is not used. */
    PROBE_IN_AIR,
    /** The first oxygen probe repeats its last value; size is not used. */
    PROBE_STUCK,
    /** The first oxygen probe is off by so many mg/L. */
    PROBE_DRIFTS,
    /** The first oxygen probe is grown over by that share, 0–1. */
    PROBE_FOULED,
    /** A bubble sits on the first oxygen probe; size is not used. */
    PROBE_IN_BUBBLE,
    /** Oxygen probes are noisier by a factor. */
    PROBE_NOISY,
    /** Oxygen probes jump now and then by about so many mg/L. */
    PROBE_SPIKES,
    /** The first oxygen probe says nothing; size is not used. */
    PROBE_SILENT,
    /** The meter shows nought; size is not used. */
    METER_SAYS_ZERO,
    /** The meter repeats its last value; size is not used. */
    METER_STUCK,
    /** The meter says nothing; size is not used. */
    METER_SILENT,
    /** The tank's link is down; what was kept comes in a burst; size is not used. */
    LINK_DOWN,
    /** That share of the readings comes late, 0–1. */
    LINK_DISORDERED,
    /** That share of the readings comes twice, 0–1. */
    LINK_REPEATS,
    /** The clock that stamps readings is off by so many seconds. */
    CLOCK_STEPS;

    /** Whether it is done once, where the others hold while they last. */
    boolean isOnce() {
      return switch (this) {
        case CYLINDER_DOWN_TO, FISH_ADDED, FISH_HANDLED, FISH_FED, WATER_CHANGED, WARM_SPELL ->
            true;
        default -> false;
      };
    }
  }
}
