// SPDX-License-Identifier: Apache-2.0
package opercle.analysis;

/**
 * A quantity with its uncertainty: a low and a high bound that roughly eight in ten true values lie
 * between, and the likeliest value. The unit is the caller's, and stands in the name of whatever
 * holds the band.
 *
 * @param low lower bound
 * @param likely best estimate
 * @param high upper bound
 */
public record Band(double low, double likely, double high) {

  public Band {
    if (!(low <= likely && likely <= high)) { // this way round, NaN is refused too
      throw new IllegalArgumentException(
          "a band needs low <= likely <= high but was %s, %s, %s".formatted(low, likely, high));
    }
  }

  /** A band without width, for a value that is known. */
  public static Band exactly(double value) {
    return new Band(value, value, value);
  }

  /** This band times a factor; the factor must not be negative. */
  public Band times(double factor) {
    if (!(factor >= 0.0)) {
      throw new IllegalArgumentException("a band can be scaled by a factor >= 0 but was " + factor);
    }
    return new Band(low * factor, likely * factor, high * factor);
  }

  /** The sum of two quantities of the same unit; bounds add, as for errors that go together. */
  public Band plus(Band other) {
    return new Band(low + other.low, likely + other.likely, high + other.high);
  }
}
