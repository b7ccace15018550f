// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.util.List;
import opercle.analysis.farm.Tank;

/**
 * What the record of a tank could say after an entry of a trip that has ended. Fish may have been
 * moved by hand meanwhile, so a person decides.
 *
 * @param entry the id of the entry
 * @param version the farm's version that it was worked out for
 * @param tank as its record now says
 * @param then the fish that it would say
 */
public record TankOffer(String entry, long version, Tank tank, List<Tank.Load> then) {

  public TankOffer {
    then = List.copyOf(then);
  }
}
