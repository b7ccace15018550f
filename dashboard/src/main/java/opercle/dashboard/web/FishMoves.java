// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import opercle.analysis.records.TankEntry;

/** Takes down that fish went from one tank into another, with what they were given. */
@FunctionalInterface
public interface FishMoves {

  /** They are in the other tank now. */
  void moved(TankEntry.Moved move, String by);
}
