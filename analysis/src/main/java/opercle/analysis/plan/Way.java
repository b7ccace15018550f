// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import opercle.analysis.balance.Exchange;
import opercle.analysis.balance.FadingDemand;
import opercle.analysis.balance.WasteBuildUp;
import opercle.analysis.gas.SurfaceReaeration;
import opercle.analysis.gas.Transfer;
import opercle.analysis.water.BensonKrause1984;
import opercle.analysis.water.WaterConditions;

/**
 * The tank along the way in one world: what the fish take and what gas and surface give, as the
 * water warms evenly from loading to unloading. Worked out at nodes; between them straight lines.
 */
final class Way {

  private static final int NODES_IF_IT_WARMS = 25;

  private final World world;
  private final LoadPlanRequest request;
  private final double[] airMgPerL;
  private final double[] gasMgPerL;
  private final double[] gasPerHourPerLPerMin;
  private final double[] movingPerHour;
  private final double[] stillPerHour;
  private final double[] settledMgPerLPerHour;
  private final double[] strippingPerHourPerLPerMin;
  private final double[] airCarbonDioxideMgPerL;
  private final FadingDemand handling;

  Way(World world, LoadPlanRequest request) {
    this.world = world;
    this.request = request;
    int nodes = request.riseC() == 0.0 ? 1 : NODES_IF_IT_WARMS;
    airMgPerL = new double[nodes];
    gasMgPerL = new double[nodes];
    gasPerHourPerLPerMin = new double[nodes];
    movingPerHour = new double[nodes];
    stillPerHour = new double[nodes];
    settledMgPerLPerHour = new double[nodes];
    strippingPerHourPerLPerMin = new double[nodes];
    airCarbonDioxideMgPerL = new double[nodes];
    handling =
        new FadingDemand(
            1.0,
            world.burden(request.handling().peak()),
            world.burden(request.handling().fadeHours()));
    for (int i = 0; i < nodes; i++) {
      double share = nodes == 1 ? 0.0 : (double) i / (nodes - 1);
      fill(i, request.temperatureC() + share * request.riseC());
    }
  }

  private void fill(int i, double temperatureC) {
    WaterConditions water =
        new WaterConditions(temperatureC, request.saltGPerKg(), request.pressureKPa());
    Transfer oneLitreAMinute =
        Transfer.of(
            request.gas(), request.diffuser(), request.depthM(), 1.0, request.waterLitres(), water);
    airMgPerL[i] = new BensonKrause1984().saturationMgPerL(water);
    gasMgPerL[i] = oneLitreAMinute.gasSaturationMgPerL();
    gasPerHourPerLPerMin[i] = world.help(oneLitreAMinute.kLaPerHour());
    movingPerHour[i] = world.help(SurfaceReaeration.MOVING.kLaPerHour(temperatureC));
    stillPerHour[i] = world.help(SurfaceReaeration.STILL.kLaPerHour(temperatureC));
    settledMgPerLPerHour[i] =
        world.burden(request.routineMgPerHour(temperatureC))
            * world.burden(request.feeding().oxygenMultiplier())
            / request.waterLitres();
    strippingPerHourPerLPerMin[i] =
        WasteBuildUp.fullStrippingPerHour(1.0, request.waterLitres(), temperatureC);
    airCarbonDioxideMgPerL[i] = WasteBuildUp.airEquilibriumMgPerL(temperatureC);
  }

  double airSaturationMgPerL(double hours) {
    return along(airMgPerL, hours);
  }

  double gasSaturationMgPerL(double hours) {
    return along(gasMgPerL, hours);
  }

  /** Transfer of the diffuser for each litre of gas a minute, 1/h. */
  double gasPerHourPerLPerMin(double hours) {
    return along(gasPerHourPerLPerMin, hours);
  }

  /** What the fish take then, mg/L/h. */
  double demandMgPerLPerHour(double hours) {
    return along(settledMgPerLPerHour, hours) * handling.atHours(hours);
  }

  /** What they will take from then on if the temperature stays: to ask how long is in hand. */
  FadingDemand demandFrom(double hours) {
    return new FadingDemand(
        along(settledMgPerLPerHour, hours), handling.atHours(hours), handling.fadeHours());
  }

  /** Gas and surface on the road. */
  Exchange onTheRoad(double hours, double flowLPerMin) {
    return new Exchange(
        flowLPerMin * gasPerHourPerLPerMin(hours),
        gasSaturationMgPerL(hours),
        along(movingPerHour, hours),
        airSaturationMgPerL(hours));
  }

  /** No gas, and parked: the water hardly moves. */
  Exchange gasStopped(double hours) {
    return Exchange.surfaceOnly(along(stillPerHour, hours), airSaturationMgPerL(hours));
  }

  /** Surface transfer for oxygen on the road, 1/h. */
  double movingPerHour(double hours) {
    return along(movingPerHour, hours);
  }

  /** The most carbon dioxide that each litre of gas a minute can strip, 1/h. */
  double strippingPerHourPerLPerMin(double hours) {
    return along(strippingPerHourPerLPerMin, hours);
  }

  /** Carbon dioxide in equilibrium with air, mg/L. */
  double airCarbonDioxideMgPerL(double hours) {
    return along(airCarbonDioxideMgPerL, hours);
  }

  private double along(double[] nodes, double hours) {
    if (nodes.length == 1) {
      return nodes[0];
    }
    double x = Math.min(1.0, hours / request.hours()) * (nodes.length - 1);
    int i = Math.min(nodes.length - 2, (int) x);
    return nodes[i] + (x - i) * (nodes[i + 1] - nodes[i]);
  }
}
