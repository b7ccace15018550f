// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.ingest.reading.Quantity;

/** One probe of a tank and what has been made of its readings so far. Not thread-safe. */
class Probe {

  final Quantity quantity;
  final String name;
  Rhythm rhythm = Rhythm.NOT_HEARD;

  /** The newest value, in the quantity's canonical unit. */
  double value;

  /**
   * Whether it has been found silent; only a tick finds that, for it takes the receiver's clock.
   */
  boolean silent;

  Probe(Quantity quantity, String name) {
    this.quantity = quantity;
    this.name = name;
  }

  boolean measuresOxygen() {
    return quantity == Quantity.OXYGEN || quantity == Quantity.OXYGEN_SATURATION;
  }

  /** As people call it, for instance {@code oxygen probe 1} or {@code gas meter 1}. */
  String title() {
    return switch (quantity) {
      case OXYGEN, OXYGEN_SATURATION -> "oxygen probe " + name;
      case GAS_FLOW -> "gas meter " + name;
      default -> quantity.id().replace('-', ' ') + " probe " + name;
    };
  }
}
