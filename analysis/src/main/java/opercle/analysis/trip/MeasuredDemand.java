// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import opercle.analysis.Band;

/**
 * What a load really breathed, from its own trace.
 *
 * <pre>
 *   D = −dC/dt + kSurface (C*air − C) + kGas (C*gas − C) − what the water takes,   times V / kg
 * </pre>
 *
 * <p>With the gas off the slope says nearly all, and such stretches are preferred: at least 5 min
 * and a fall of five times the noise; the meter must be alive, and neither fish nor water may have
 * come or gone ({@link Review#unmeasured} says so where that is not sure). With the gas on, steady
 * or turned down, the supply's own figures come in, which are known to a factor of two only: from
 * such a stretch nothing is learned. A stretch ends at the critical floor, below which fish breathe
 * less. Stretches of the best kind are weighed by their length; their bounds add, as errors that go
 * together.
 *
 * @param mgPerKgPerHour demand, mg of oxygen per kg of fish and hour
 * @param temperatureC the water's mean meanwhile, °C
 * @param from which stretches
 */
public record MeasuredDemand(Band mgPerKgPerHour, double temperatureC, List<Stretch> from) {

  public MeasuredDemand {
    from = List.copyOf(from);
  }

  /** The best way that the figure stands on. */
  public Way way() {
    return from.get(0).way();
  }

  /** Whether it is sure enough to plan by: it does not stand on what the diffuser gives. */
  public boolean isSure() {
    return way() == Way.GAS_OFF;
  }

  /** How a stretch tells, best first. */
  public enum Way {
    /** The meter, or the keeper's record, says that no gas came. */
    GAS_OFF("with the gas off"),
    /** Oxygen falls with less gas by the meter: stands on what the diffuser is reckoned to give. */
    AFTER_A_FAILURE("with less gas"),
    /** Gas and oxygen steady: stands on what the diffuser is reckoned to give. */
    STEADY("with the gas steady");

    private final String words;

    Way(String words) {
      this.words = words;
    }

    /** As in "measured … with the gas off". */
    public String words() {
      return words;
    }
  }

  /**
   * One stretch that demand was read from.
   *
   * @param way how
   * @param from its first reading
   * @param to its last
   * @param mgPerKgPerHour what it says
   * @param temperatureC the water's mean, °C
   */
  public record Stretch(
      Way way, Instant from, Instant to, Band mgPerKgPerHour, double temperatureC) {

    /** How long. */
    public Duration length() {
      return Duration.between(from, to);
    }
  }
}
