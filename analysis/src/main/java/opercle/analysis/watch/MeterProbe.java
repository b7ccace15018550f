// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.ingest.reading.Quantity;

/** A meter in the gas line, of flow or of pressure. Not thread-safe. */
final class MeterProbe extends Probe {

  GasMeter meter = GasMeter.NOT_HEARD;

  MeterProbe(Quantity quantity, String name) {
    super(quantity, name);
  }
}
