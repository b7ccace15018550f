// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.util.function.UnaryOperator;
import opercle.simulator.physics.TankTraits;

/**
 * How a simulated farm is brought to its start.
 *
 * @param warmUpSeconds lived through before the start, so that the tanks have settled, s
 * @param traits changes what was drawn for a tank
 */
record Setup(int warmUpSeconds, UnaryOperator<TankTraits> traits) {

  /** Three hours, and everything as drawn. */
  static final Setup USUAL = new Setup(3 * 3600, UnaryOperator.identity());
}
