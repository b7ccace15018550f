// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import opercle.analysis.records.TankEntry;

/** Takes down that fish went from one tank into another, with what they were given. */
@FunctionalInterface
public interface FishMoves {

  /**
   * They go into the other tank.
   *
   * @throws opercle.analysis.book.BookException if it cannot be written down
   */
  void moved(TankEntry.Moved move, String by);
}
