// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;

/**
 * What has built up in a stocked holding tank, at one instant. What cannot be told is empty.
 *
 * @param tank its id
 * @param at when
 * @param daysHeld since the first of these fish came in, days
 * @param limits what the load should not go beyond
 * @param densityKgPerM3 fish for each cubic metre of water
 * @param densityGuideKgPerM3 easy, full and extreme for holding; <i>common practice</i>
 * @param tan total ammonia as nitrogen, mg/L
 * @param ph of the water, as the ammonia is reckoned with
 * @param ammonia un-ionised ammonia, mg/L as NH₃
 * @param carbonDioxide free, mg/L
 * @param saltGPerKg salt, g/kg
 * @param temperatureC that everything is reckoned with, °C
 * @param assumptions what was taken for want of something better, in whole sentences
 */
public record HoldingNow(
    String tank,
    Instant at,
    OptionalDouble daysHeld,
    HoldingLimits limits,
    double densityKgPerM3,
    Band densityGuideKgPerM3,
    Optional<Value> tan,
    Optional<Value> ph,
    Optional<Value> ammonia,
    Optional<Value> carbonDioxide,
    Value saltGPerKg,
    double temperatureC,
    List<String> assumptions) {

  public HoldingNow {
    assumptions = List.copyOf(assumptions);
  }

  /** How a value comes to be known, best first. */
  public enum Basis {
    /** Measured by a probe, or by hand not long ago. */
    MEASURED,
    /** Reckoned on from a measurement. */
    SINCE_MEASURED,
    /** Reckoned from the load and what was done. */
    ESTIMATED,
    /** The keeper has said so once and for all. */
    SET;

    /** The word for it. */
    public String id() {
      return name().toLowerCase(java.util.Locale.ROOT).replace('_', '-');
    }

    Basis or(Basis other) {
      return compareTo(other) >= 0 ? this : other;
    }
  }

  /**
   * A value with its range and how it is known.
   *
   * @param band eight in ten true values lie between low and high
   * @param basis how it is known
   * @param since when it was measured, or from when it is reckoned
   * @param method in a few words
   */
  public record Value(Band band, Basis basis, Instant since, String method) {}

  /** How full the tank is, against common practice. */
  public enum Density {
    EASY,
    FULL,
    HEAVY,
    EXTREME
  }

  /** How full the tank is. */
  public Density density() {
    Band guide = densityGuideKgPerM3;
    return densityKgPerM3 <= guide.low()
        ? Density.EASY
        : densityKgPerM3 <= guide.likely()
            ? Density.FULL
            : densityKgPerM3 <= guide.high() ? Density.HEAVY : Density.EXTREME;
  }
}
