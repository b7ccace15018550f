// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.util.List;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;

/** Which tanks of whatever farm a happening meets. */
public sealed interface Where {

  /** The tanks of a farm that are meant, in its order; may be none. */
  List<Tank> in(Farm farm);

  /** Every tank. */
  record Everywhere() implements Where {
    @Override
    public List<Tank> in(Farm farm) {
      return farm.tanks();
    }
  }

  /** Every tank on the blower's manifold. */
  record OnBlower() implements Where {
    @Override
    public List<Tank> in(Farm farm) {
      return farm.tanks().stream().filter(t -> t.supply().source() == Tank.Source.BLOWER).toList();
    }
  }

  /**
   * One tank: that of the id, or in a farm without it the first of the kind, or the first of all.
   *
   * @param id as in Sallowmere
   * @param orElse what to look for in another farm
   */
  record OneTank(String id, Tank.Kind orElse) implements Where {
    @Override
    public List<Tank> in(Farm farm) {
      return farm.tank(id)
          .or(() -> farm.tanks().stream().filter(t -> t.kind() == orElse).findFirst())
          .or(() -> farm.tanks().stream().findFirst())
          .map(List::of)
          .orElse(List.of());
    }
  }
}
