// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * How long a tank's cylinder lasts at the flow there is: runtime is usable litres over flow
 * (cylinder notes), with the litres by Boyle's law, {@code V (p − reserve)/1.01325}.
 */
final class CylinderLeft {

  /** At this pressure a cylinder should be out of use: the regulator drops out (from memory). */
  static final double RESERVE_BAR = 10.0;

  /** Between the two that the notes give for it, 5 and 10 bar, some still hold (from memory). */
  private static final double DROPS_OUT_BAR = 5.0;

  private static final double STANDARD_BAR = 1.01325;

  /** That oxygen is denser at pressure leaves up to so much more than Boyle's law says. */
  private static final double DENSER = 1.07;

  /** A float meter is good to so much of its reading (common practice). */
  private static final double FLOW_ERROR = 0.1;

  private CylinderLeft() {}

  /** Minutes until it is down to its reserve; NaN where that cannot be told. */
  static double minutesToReserve(TankNow tank) {
    OptionalDouble bar = gaugeBar(tank);
    double flow = flowLPerMin(tank);
    return bar.isEmpty() || !(flow > 0.0)
        ? Double.NaN
        : litres(waterLitres(tank), bar.getAsDouble() - RESERVE_BAR) / flow;
  }

  /** Minutes until it gives no more; null where that cannot be told. */
  static @Nullable Band minutesToEmpty(TankNow tank) {
    OptionalDouble bar = gaugeBar(tank);
    double flow = flowLPerMin(tank);
    return bar.isEmpty() || !(flow > 0.0)
        ? null
        : minutesToEmpty(waterLitres(tank), bar.getAsDouble(), flow);
  }

  /**
   * Minutes until a cylinder gives no more: from its reserve, at the highest flow that the meter
   * may mean, to the last of it at the lowest.
   *
   * @param waterLitres its volume
   * @param gaugeBar its pressure
   * @param flowLPerMin what is drawn, above 0
   */
  static Band minutesToEmpty(double waterLitres, double gaugeBar, double flowLPerMin) {
    return new Band(
        litres(waterLitres, gaugeBar - RESERVE_BAR) / (flowLPerMin * (1.0 + FLOW_ERROR)),
        litres(waterLitres, gaugeBar - DROPS_OUT_BAR) / flowLPerMin,
        DENSER * litres(waterLitres, gaugeBar) / (flowLPerMin * (1.0 - FLOW_ERROR)));
  }

  private static double litres(double waterLitres, double bar) {
    return Math.max(0.0, waterLitres * bar / STANDARD_BAR);
  }

  private static OptionalDouble gaugeBar(TankNow tank) {
    Tank.Supply supply = tank.tank.supply();
    return supply.source() == Tank.Source.CYLINDER && supply.cylinder().isPresent()
        ? tank.probes().fresh(Quantity.CYLINDER_PRESSURE, tank.now)
        : OptionalDouble.empty();
  }

  private static double waterLitres(TankNow tank) {
    return tank.tank.supply().cylinder().orElseThrow().waterLitres();
  }

  private static double flowLPerMin(TankNow tank) {
    return tank.gasFlow().orElse(tank.tank.supply().flowLPerMin());
  }
}
