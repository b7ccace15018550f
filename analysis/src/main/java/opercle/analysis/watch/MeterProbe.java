// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.ingest.reading.Quantity;

/** A meter in the gas line, of flow or of pressure. Not thread-safe. */
final class MeterProbe extends Probe {

  GasMeter meter = GasMeter.NOT_HEARD;
  Repeats repeats = Repeats.NONE;

  MeterProbe(Quantity quantity, String name) {
    super(quantity, name);
  }

  /**
   * Takes the newest value.
   *
   * @param setLPerMin what the keeper set for this meter; 0 where it has no setting of its own
   */
  void accept(long time, double setLPerMin) {
    double dt = meter.last() == Long.MIN_VALUE ? 0.0 : Micros.seconds(time - meter.last());
    repeats = repeats.next(dt, value);
    meter = meter.next(time, value, setLPerMin);
  }

  /**
   * For how long it has shown no gas, a meter that fell silent without it included, seconds.
   *
   * @param heard now, by the receiver's clock
   */
  double stoppedSeconds(long heard) {
    return Micros.seconds(rhythm.last() - meter.lowSince())
        + Math.max(0.0, rhythm.quietSeconds(heard));
  }

  /**
   * Whether it repeats one value and so says nothing of the gas. At rest after a stop, at nought or
   * a little above it, it says enough.
   */
  boolean isStuck() {
    return value > 0.0 && !meter.hasStopped() && repeats.isStuck();
  }
}
