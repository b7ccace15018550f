// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import opercle.analysis.ValidRange;

/**
 * An air blower, described by the two ends of its curve; between them the flow is taken to fall in
 * a straight line with the pressure it works against (common practice for linear air pumps; the
 * maker's own curve comes first).
 *
 * @param freeLPerMin flow against no pressure, L/min at 15 °C
 * @param shutOffKPa gauge pressure at which no air comes any more, kPa
 */
public record Blower(double freeLPerMin, double shutOffKPa) {

  private static final ValidRange FREE =
      new ValidRange("blower", "free flow", 0.1, 100_000.0, "L/min");
  private static final ValidRange SHUT_OFF =
      new ValidRange("blower", "shut-off pressure", 1.0, 200.0, "kPa");

  public Blower {
    FREE.require(freeLPerMin);
    SHUT_OFF.require(shutOffKPa);
  }

  /** Flow, L/min at 15 °C, against a gauge pressure in kPa; none from the shut-off pressure on. */
  public double flowLPerMin(double gaugeKPa) {
    return freeLPerMin * Math.max(0.0, 1.0 - gaugeKPa / shutOffKPa);
  }
}
