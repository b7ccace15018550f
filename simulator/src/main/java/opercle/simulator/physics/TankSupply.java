// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import java.util.OptionalDouble;
import opercle.analysis.farm.Tank;

/** Where a tank's gas comes from: the shared blower, or a cylinder of its own. One thread only. */
public sealed interface TankSupply {

  /** The supply of a tank's description. */
  static TankSupply of(Tank.Supply supply, TankTraits traits, double ambientC) {
    if (supply.source() == Tank.Source.BLOWER) {
      return new OnBlower();
    }
    double litres = supply.cylinder().map(Tank.Cylinder::waterLitres).orElse(50.0);
    return new OnCylinder(GasCylinder.at(litres, traits.cylinderBar(), ambientC), ambientC);
  }

  /** The same supply from here on. */
  TankSupply copy();

  /**
   * Pressure at the source end of the line, bar gauge.
   *
   * @param setBar the pressure at which the set flow runs
   * @param blowerShare the blower's pressure against its own set pressure
   */
  double pressureBar(double setBar, double blowerShare);

  /** Takes gas, litres at 15 °C. */
  void draw(double litres);

  /** What a cylinder's own gauge would show, bar gauge; empty on a blower. */
  OptionalDouble cylinderBar();

  /** A fresh or nearly empty cylinder is put on; nothing on a blower. */
  void setCylinderBar(double gaugeBar);

  /** The air round it. */
  void setAmbientC(double celsius);

  /** On the farm's blower. */
  final class OnBlower implements TankSupply {
    @Override
    public TankSupply copy() {
      return this;
    }

    @Override
    public double pressureBar(double setBar, double blowerShare) {
      return setBar * blowerShare;
    }

    @Override
    public void draw(double litres) {
      // the blower counts for itself
    }

    @Override
    public OptionalDouble cylinderBar() {
      return OptionalDouble.empty();
    }

    @Override
    public void setCylinderBar(double gaugeBar) {
      // there is none
    }

    @Override
    public void setAmbientC(double celsius) {
      // air in the blower's line is taken as it is
    }
  }

  /**
   * A cylinder with a regulator: the set pressure while there is enough, and a fixed share of what
   * is left below that, so that a last few bar die away over minutes.
   */
  final class OnCylinder implements TankSupply {
    private static final double REGULATOR_DROPS_AT_SHARE = 0.6;

    private GasCylinder cylinder;
    private final double waterLitres;
    private double ambientC;

    OnCylinder(GasCylinder cylinder, double ambientC) {
      this.cylinder = cylinder;
      this.waterLitres = cylinder.waterLitres();
      this.ambientC = ambientC;
    }

    @Override
    public TankSupply copy() {
      return new OnCylinder(cylinder.copy(), ambientC);
    }

    @Override
    public double pressureBar(double setBar, double blowerShare) {
      double left = Math.max(0.0, cylinder.gaugeBar(ambientC));
      return Math.min(setBar, REGULATOR_DROPS_AT_SHARE * left);
    }

    @Override
    public void draw(double litres) {
      cylinder.draw(litres);
    }

    @Override
    public OptionalDouble cylinderBar() {
      return OptionalDouble.of(cylinder.gaugeBar(ambientC));
    }

    @Override
    public void setCylinderBar(double gaugeBar) {
      cylinder = GasCylinder.at(waterLitres, gaugeBar, ambientC);
    }

    @Override
    public void setAmbientC(double celsius) {
      ambientC = Math.max(-10.0, Math.min(30.0, celsius)); // stands in the shade
    }
  }
}
