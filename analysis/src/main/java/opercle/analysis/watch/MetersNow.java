// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * What the gas meters and gauges of one tank say at one instant, against what is normal for them.
 * Made for the moment and thrown away.
 *
 * @param now in microseconds since 1970
 */
record MetersNow(Probes probes, long now) {

  /** The supply, by all of them; the lowest counts. */
  TankChecks.Supply supply() {
    if (Probes.anyStopped(probes.flows())) {
      return TankChecks.Supply.STOPPED;
    }
    TankChecks.Supply byFlow = supply(flow());
    boolean pressureLost =
        pressure() == Diagnosis.Pressure.LOW || Probes.anyStopped(probes.pressures());
    return pressureLost && byFlow != TankChecks.Supply.STOPPED ? TankChecks.Supply.LOW : byFlow;
  }

  /** Whether nothing that is heard of the gas is other than normal; also where nothing is. */
  boolean showNothingUnusual() {
    return !supply().isShort()
        && flow() != Diagnosis.Flow.HIGH
        && pressure() != Diagnosis.Pressure.HIGH;
  }

  /** The flow, by the meter that shows the least of what is normal for it. */
  Diagnosis.Flow flow() {
    Diagnosis.Flow least = Diagnosis.Flow.NOT_MEASURED;
    for (MeterProbe p : probes.flows()) {
      if (p.rhythm.isFresh(now) && p.meter.normalLPerMin() > 0.0 && !p.isStuck()) {
        Diagnosis.Flow flow = flow(p);
        least = flow.compareTo(least) < 0 ? flow : least;
      }
    }
    return least;
  }

  /** The pressure in the line, by the first gauge that is heard. */
  Diagnosis.Pressure pressure() {
    for (MeterProbe p : probes.pressures()) {
      if (p.rhythm.isFresh(now) && p.meter.normalLPerMin() > 0.0 && !p.isStuck()) {
        return pressure(p);
      }
    }
    return Diagnosis.Pressure.NOT_MEASURED;
  }

  /** What one flow meter says of the supply, whose normal is known. */
  static TankChecks.Supply byFlow(MeterProbe p) {
    return supply(flow(p));
  }

  /** What one gauge says of the supply, whose normal is known. */
  static TankChecks.Supply byPressure(MeterProbe p) {
    return pressure(p) == Diagnosis.Pressure.LOW ? TankChecks.Supply.LOW : TankChecks.Supply.NORMAL;
  }

  private static Diagnosis.Flow flow(MeterProbe p) {
    double ratio = p.meter.flowLPerMin() / p.meter.normalLPerMin();
    return ratio < 0.1
        ? Diagnosis.Flow.NONE
        : ratio < 0.75
            ? Diagnosis.Flow.LOW
            : ratio < 1.15 ? Diagnosis.Flow.NORMAL : Diagnosis.Flow.HIGH;
  }

  private static Diagnosis.Pressure pressure(MeterProbe p) {
    double ratio = p.value / p.meter.normalLPerMin();
    return ratio < 0.6
        ? Diagnosis.Pressure.LOW
        : ratio < 1.25 ? Diagnosis.Pressure.NORMAL : Diagnosis.Pressure.HIGH;
  }

  private static TankChecks.Supply supply(Diagnosis.Flow flow) {
    return switch (flow) {
      case NOT_MEASURED -> TankChecks.Supply.NOT_MEASURED;
      case NONE -> TankChecks.Supply.STOPPED;
      case LOW -> TankChecks.Supply.LOW;
      case NORMAL, HIGH -> TankChecks.Supply.NORMAL;
    };
  }
}
