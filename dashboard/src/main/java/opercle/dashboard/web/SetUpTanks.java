// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;

/** Tanks of a farm that is being changed. Pure. */
final class SetUpTanks {

  private SetUpTanks() {}

  /** The tank of that id, or a problem that says that there is none. */
  static Tank required(Farm farm, String id) {
    return farm.tank(id)
        .orElseThrow(() -> Problem.notFound("This farm has no tank '%s'.".formatted(id)));
  }
}
