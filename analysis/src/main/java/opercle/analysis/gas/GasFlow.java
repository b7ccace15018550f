// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import opercle.analysis.ValidRange;
import opercle.analysis.farm.Tank.Gas;

/**
 * Gas flow and the conditions that its litres are referred to. Opercle's litres are at 15 °C and
 * 101.325 kPa, dry; a meter's may not be, and the difference is up to 9 %.
 */
public final class GasFlow {

  private static final ValidRange FLOW =
      new ValidRange("gas flow", "flow", 0.0, 100_000.0, "L/min");

  /** What a litre on a meter's scale is referred to. */
  public enum Reference {
    /** 0 °C and 101.325 kPa: the normal litre of DIN 1343. */
    NORMAL_0_C(0.0, 101.325),
    /** 15 °C and 101.325 kPa, ISO 13443: Opercle's own. */
    STANDARD_15_C(15.0, 101.325),
    /** 15 °C and 1 bar: usual in the industrial gas trade. */
    TRADE_15_C_1_BAR(15.0, 100.0),
    /** 20 °C and 101.325 kPa: many mass-flow meters. */
    METER_20_C(20.0, 101.325),
    /** 25 °C and 101.325 kPa. */
    METER_25_C(25.0, 101.325);

    private final double temperatureC;
    private final double pressureKPa;

    Reference(double temperatureC, double pressureKPa) {
      this.temperatureC = temperatureC;
      this.pressureKPa = pressureKPa;
    }

    /** Litres of Opercle's in one litre of this, by the ideal gas: 0.02 % off at most. */
    public double litresAt15C() {
      return (288.15 / (temperatureC + 273.15)) * (pressureKPa / 101.325);
    }
  }

  private GasFlow() {}

  /** A flow on a meter's scale, L/min, in L/min at 15 °C and 101.325 kPa. */
  public static double at15CLPerMin(double flowLPerMin, Reference reference) {
    return FLOW.require(flowLPerMin) * reference.litresAt15C();
  }

  /** Oxygen that a flow carries, mg/min, of L/min at 15 °C and 101.325 kPa. */
  public static double oxygenMgPerMin(Gas gas, double flowLPerMin) {
    double gramsPerLitre =
        switch (gas) {
          case OXYGEN -> GasDensity.OXYGEN_AT_15_C_G_PER_L;
          case AIR -> GasDensity.AIR_AT_15_C_G_PER_L * GasDensity.OXYGEN_IN_AIR_BY_MASS;
        };
    return 1000.0 * gramsPerLitre * FLOW.require(flowLPerMin);
  }
}
