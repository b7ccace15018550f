// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import java.util.List;
import opercle.analysis.ValidRange;
import opercle.analysis.water.WaterColumn;

/**
 * One blower's air shared by the tanks on its manifold. Air takes the easy way: shallow tanks and
 * worn diffusers get more than their share, and one split hose can starve all the others.
 *
 * <p>Each outlet opens when the manifold's pressure is above its column of water, and then passes
 * air like an orifice, with the square root of what is left. Losses in the pipes are left out.
 *
 * @param outlets in the caller's order
 */
public record Manifold(List<Outlet> outlets) {

  private static final ValidRange DIFFUSER =
      new ValidRange("manifold outlet", "pressure over the diffuser", 0.01, 100.0, "kPa");
  private static final ValidRange RATED =
      new ValidRange("manifold outlet", "flow", 0.0, 100_000.0, "L/min");

  public Manifold {
    outlets = List.copyOf(outlets);
  }

  /**
   * A hose with its diffuser.
   *
   * @param depthM water over the diffuser, m; 0 for a hose that has come off
   * @param diffuserKPa pressure that the diffuser takes at the flow below; fine bubbles 2–6 kPa
   *     (from memory)
   * @param ratedLPerMin flow at that pressure, L/min at 15 °C
   */
  public record Outlet(double depthM, double diffuserKPa, double ratedLPerMin) {

    public Outlet {
      WaterColumn.pressureKPa(0.0, depthM);
      DIFFUSER.require(diffuserKPa);
      RATED.require(ratedLPerMin);
    }

    double flowLPerMin(double gaugeKPa) {
      double left = gaugeKPa - WaterColumn.pressureKPa(0.0, depthM);
      return left <= 0.0 ? 0.0 : ratedLPerMin * Math.sqrt(left / diffuserKPa);
    }
  }

  /**
   * How the air is shared.
   *
   * @param gaugeKPa pressure that the manifold settles at, kPa gauge
   * @param flowsLPerMin flow of each outlet, L/min at 15 °C, in the order of the outlets
   */
  public record Share(double gaugeKPa, List<Double> flowsLPerMin) {

    public Share {
      flowsLPerMin = List.copyOf(flowsLPerMin);
    }
  }

  /** The share that each outlet gets of a blower's air. */
  public Share share(Blower blower) {
    // What the outlets take rises with the pressure and what the blower gives falls: one crossing.
    double low = 0.0;
    double high = blower.shutOffKPa();
    for (int i = 0; i < 60; i++) {
      double middle = 0.5 * (low + high);
      if (takenLPerMin(middle) < blower.flowLPerMin(middle)) {
        low = middle;
      } else {
        high = middle;
      }
    }
    double settled = high;
    return new Share(settled, outlets.stream().map(o -> o.flowLPerMin(settled)).toList());
  }

  private double takenLPerMin(double gaugeKPa) {
    return outlets.stream().mapToDouble(o -> o.flowLPerMin(gaugeKPa)).sum();
  }
}
