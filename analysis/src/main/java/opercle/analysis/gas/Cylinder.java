// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import java.time.Duration;
import opercle.analysis.ValidRange;

/**
 * What a cylinder of oxygen holds and how long it lasts, by the real gas: taking oxygen for ideal
 * understates a full cylinder by 7 % and hides what cold does to the gauge.
 *
 * <p>Pressures are bar gauge, at the temperature of the gas; litres are free litres at 15 °C and
 * 101.325 kPa. Source: Schmidt &amp; Wagner (1985). The figures are a plan's, not a promise: the
 * supplier's data sheet and the gauge come first.
 *
 * @param waterLitres water volume stamped on the shoulder, L
 */
public record Cylinder(double waterLitres) {

  /** Below about this a regulator no longer holds its setting, bar gauge (from memory). */
  public static final double REGULATOR_DROPS_OUT_BAR = 5.0;

  private static final double KPA_PER_BAR = 100.0;
  private static final double AMBIENT_BAR = 1.01325;

  private static final ValidRange WATER_VOLUME =
      new ValidRange("oxygen cylinder", "water volume", 0.1, 2000.0, "L");

  /** A gauge's zero may be a little low, and a 300 bar filling stands higher on a hot day. */
  private static final ValidRange GAUGE =
      new ValidRange("oxygen cylinder", "pressure", -1.0, 345.0, "bar");

  private static final ValidRange FLOW =
      new ValidRange("oxygen cylinder", "flow", 0.0, 10_000.0, "L/min");

  private static final ValidRange DRAWN =
      new ValidRange("oxygen cylinder", "gas drawn", 0.0, 1e6, "L");

  public Cylinder {
    WATER_VOLUME.require(waterLitres);
  }

  /** Oxygen in the cylinder, g, at a gauge pressure (−1–345 bar) and a temperature (−40–60 °C). */
  public double contentsGrams(double gaugeBar, double temperatureC) {
    return waterLitres
        * GasDensity.oxygenGPerL(
            temperatureC, KPA_PER_BAR * (GAUGE.require(gaugeBar) + AMBIENT_BAR));
  }

  /** The same in free litres at 15 °C. */
  public double contentsLitres(double gaugeBar, double temperatureC) {
    return contentsGrams(gaugeBar, temperatureC) / GasDensity.OXYGEN_AT_15_C_G_PER_L;
  }

  /** Free litres that can be drawn until the gauge stands at the reserve; none below it. */
  public double usableLitres(double gaugeBar, double temperatureC, double reserveBar) {
    return Math.max(
        0.0, contentsLitres(gaugeBar, temperatureC) - contentsLitres(reserveBar, temperatureC));
  }

  /**
   * How long a flow lasts until the gauge stands at the reserve, the gas staying at its
   * temperature.
   *
   * @param flowLPerMin L/min at 15 °C, more than zero
   * @throws IllegalArgumentException if the flow is zero: then it lasts for ever, which is no
   *     duration
   */
  public Duration endurance(
      double gaugeBar, double temperatureC, double reserveBar, double flowLPerMin) {
    if (!(FLOW.require(flowLPerMin) > 0.0)) {
      throw new IllegalArgumentException(
          "oxygen cylinder: endurance needs a flow above 0 L/min but was " + flowLPerMin);
    }
    double minutes = usableLitres(gaugeBar, temperatureC, reserveBar) / flowLPerMin;
    return Duration.ofMillis(Math.round(minutes * 60_000.0));
  }

  /**
   * Gauge pressure once gas has been drawn; 0 when more is asked for than it holds.
   *
   * @param drawnLitres free litres at 15 °C
   */
  public double gaugeAfterBar(double gaugeBar, double temperatureC, double drawnLitres) {
    double left = contentsLitres(gaugeBar, temperatureC) - DRAWN.require(drawnLitres);
    double density = left * GasDensity.OXYGEN_AT_15_C_G_PER_L / waterLitres;
    if (density <= 0.0) {
      return 0.0;
    }
    double gauge = SchmidtWagner1985.pressureKPa(temperatureC, density) / KPA_PER_BAR - AMBIENT_BAR;
    // At most what was there: drawing nothing must not add the last digit's rounding.
    return Math.min(gaugeBar, Math.max(0.0, gauge));
  }

  /**
   * How fast the gauge falls at a flow, bar/h, near this pressure: to compare with the fall that is
   * seen, and so with a leak.
   */
  public double gaugeFallBarPerHour(double gaugeBar, double temperatureC, double flowLPerMin) {
    double below = Math.max(GAUGE.low(), GAUGE.require(gaugeBar) - 0.5);
    double above = Math.min(GAUGE.high(), gaugeBar + 0.5);
    double litresPerBar =
        (contentsLitres(above, temperatureC) - contentsLitres(below, temperatureC))
            / (above - below);
    return FLOW.require(flowLPerMin) * 60.0 / litresPerBar;
  }

  /**
   * What the gauge of a shut cylinder shows at another temperature. A full one loses 1.1 bar for
   * each degree that it cools, which is no leak.
   *
   * @param gaugeBar gauge pressure now, bar
   * @param fromC temperature of the gas now, °C
   * @param toC the other temperature, °C
   * @return bar gauge
   */
  public static double gaugeAtTemperatureBar(double gaugeBar, double fromC, double toC) {
    double density =
        GasDensity.oxygenGPerL(fromC, KPA_PER_BAR * (GAUGE.require(gaugeBar) + AMBIENT_BAR));
    return SchmidtWagner1985.pressureKPa(toC, density) / KPA_PER_BAR - AMBIENT_BAR;
  }
}
