// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import opercle.analysis.farm.Tank;

/**
 * The gas line of one tank, solved from pressures: source, valve, meter, pressure tap, hose,
 * diffuser. One thread only.
 *
 * <p>Flow through the valve goes with the pressure across it, flow through the diffuser with the
 * pressure above depth and opening pressure, a split in the hose lets gas out between the two. The
 * hose holds a little gas, so that pressure follows within a second or two. Signatures are not
 * programmed, they come out: a split after the meter sends flow up and pressure down; a blocked
 * diffuser sends flow down and pressure up. Diffuser losses 2–6 kPa for hoses and stones, 1–3.5 bar
 * of supply for ceramic on oxygen (common practice).
 */
public final class GasLine {

  /** Time constant with which pressure in the hose follows, s. */
  private static final double FILL_SECONDS = 1.5;

  /** How much more a hose that is off lets out per bar than valve and diffuser let through. */
  private static final double HOSE_OFF = 50.0;

  private final double setLPerMin;
  private final double workingBar;
  private final double setPressureBar;
  private final double backPressureBar;
  private final double diffuserLPerMinPerBar;
  private final double valveLPerMinPerBar;
  private double lineBar;
  private double meterLPerMin;
  private double diffuserLPerMin;
  private double valveOpening = 1.0;
  private double splitShare;
  private double upstreamSplitShare;
  private double blockedShare;

  /** The line of a supply, running at the flow that the keeper set. */
  public GasLine(Tank.Supply supply, double depthM) {
    setLPerMin = supply.flowLPerMin();
    boolean finePores =
        supply.diffuser() == Tank.Diffuser.CERAMIC && supply.gas() == Tank.Gas.OXYGEN;
    double depthBar = 0.0981 * depthM;
    double dropBar = finePores ? 0.5 : 0.03;
    backPressureBar = depthBar + (finePores ? 0.8 : 0.02);
    workingBar = backPressureBar + dropBar;
    setPressureBar = supply.source() == Tank.Source.BLOWER ? workingBar + 0.08 : workingBar + 1.2;
    diffuserLPerMinPerBar = setLPerMin / dropBar;
    valveLPerMinPerBar = setLPerMin / (setPressureBar - workingBar);
    lineBar = workingBar;
    meterLPerMin = setLPerMin;
    diffuserLPerMin = setLPerMin;
  }

  private GasLine(GasLine o) {
    setLPerMin = o.setLPerMin;
    workingBar = o.workingBar;
    setPressureBar = o.setPressureBar;
    backPressureBar = o.backPressureBar;
    diffuserLPerMinPerBar = o.diffuserLPerMinPerBar;
    valveLPerMinPerBar = o.valveLPerMinPerBar;
    lineBar = o.lineBar;
    meterLPerMin = o.meterLPerMin;
    diffuserLPerMin = o.diffuserLPerMin;
    valveOpening = o.valveOpening;
    splitShare = o.splitShare;
    upstreamSplitShare = o.upstreamSplitShare;
    blockedShare = o.blockedShare;
  }

  /** The same line from here on. */
  GasLine copy() {
    return new GasLine(this);
  }

  /** The source pressure at which the set flow runs, bar gauge. */
  double setPressureBar() {
    return setPressureBar;
  }

  /** The flow that the keeper set, L/min at 15 °C. */
  public double setLPerMin() {
    return setLPerMin;
  }

  /** Flow through the meter, L/min at 15 °C. */
  public double meterLPerMin() {
    return meterLPerMin;
  }

  /** Gas that comes out of the diffuser, L/min at 15 °C. */
  public double diffuserLPerMin() {
    return diffuserLPerMin;
  }

  /** Pressure at the meter's outlet, bar gauge. */
  public double lineBar() {
    return lineBar;
  }

  /** The keeper's valve: 1 as set, 0 shut, 1.3 opened by a third. */
  public void turnValve(double opening) {
    valveOpening = opening;
  }

  /**
   * A split between meter and diffuser: at working pressure that share of the gas would leave by
   * it; 0 whole, 1 the hose is off.
   */
  public void splitAfterMeter(double share) {
    splitShare = share;
  }

  /** A split between source and meter: 0 whole, 1 the hose is off. */
  public void splitBeforeMeter(double share) {
    upstreamSplitShare = share;
  }

  /** Pores blocked: 0 clean, 1 shut. */
  public void block(double share) {
    blockedShare = share;
  }

  /** Time goes on with a pressure at the source; a split before the meter takes its share first. */
  void step(double seconds, double sourceBar) {
    double reachesValveBar = sourceBar * (1.0 - upstreamSplitShare);
    double valve = valveLPerMinPerBar * valveOpening;
    double pores = diffuserLPerMinPerBar * (1.0 - blockedShare);
    double whole = valveLPerMinPerBar + diffuserLPerMinPerBar;
    double leak =
        Math.min(
            HOSE_OFF * whole,
            splitShare / Math.max(1e-9, 1.0 - splitShare) * setLPerMin / workingBar);
    double targetBar =
        (valve * reachesValveBar + pores * backPressureBar) / Math.max(1e-9, valve + pores + leak);
    if (targetBar < backPressureBar) { // water stands in the diffuser, no gas leaves by it
      targetBar =
          valve + leak > 1e-9
              ? valve * reachesValveBar / (valve + leak)
              : Math.min(lineBar, backPressureBar);
      pores = 0.0;
    }
    double pace = Math.max(0.05, (valve + pores + leak) / Math.max(1e-9, whole));
    lineBar += (targetBar - lineBar) * (1.0 - Math.exp(-seconds * pace / FILL_SECONDS));
    meterLPerMin = Math.max(0.0, valve * (reachesValveBar - lineBar));
    diffuserLPerMin =
        Math.max(0.0, diffuserLPerMinPerBar * (1.0 - blockedShare) * (lineBar - backPressureBar));
  }
}
