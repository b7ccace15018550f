// SPDX-License-Identifier: Apache-2.0
package opercle.analysis;

import java.math.BigDecimal;
import java.math.MathContext;

/**
 * The range in which a formula holds for one of its quantities. A value outside it, or NaN, is
 * refused by name: nothing is extrapolated in silence.
 *
 * @param formula the formula as the science notes name it
 * @param quantity what the value is
 * @param low smallest value allowed
 * @param high largest value allowed
 * @param unit unit of all three; empty for a pure number
 */
public record ValidRange(String formula, String quantity, double low, double high, String unit) {

  /**
   * Lets a value through if it is inside.
   *
   * @return the value
   * @throws IllegalArgumentException naming formula, quantity, value, range and unit, if outside
   */
  public double require(double value) {
    if (!(value >= low && value <= high)) { // this way round, NaN is refused too
      throw new IllegalArgumentException(outside(value));
    }
    return value;
  }

  private String outside(double value) {
    String suffix = unit.isEmpty() ? "" : " " + unit;
    return "%s: %s %s%s is outside %s–%s%s"
        .formatted(formula, quantity, plain(value), suffix, plain(low), plain(high), suffix);
  }

  /** Digits as a person writes them: 40, not 40.0; 50.6625 and -0.5 as they are; seven at most. */
  private String plain(double value) {
    if (!Double.isFinite(value)) {
      return Double.toString(value);
    }
    BigDecimal rounded = BigDecimal.valueOf(value).round(new MathContext(7));
    boolean isOnALimit = rounded.doubleValue() == low || rounded.doubleValue() == high;
    BigDecimal told = isOnALimit ? BigDecimal.valueOf(value) : rounded;
    return told.signum() == 0 ? "0" : told.stripTrailingZeros().toPlainString();
  }
}
