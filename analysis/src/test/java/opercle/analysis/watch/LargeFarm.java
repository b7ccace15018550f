// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;

/** As many holding tanks as are wanted, for what is measured. */
final class LargeFarm {

  private LargeFarm() {}

  static String[] ids(int tanks) {
    return IntStream.rangeClosed(1, tanks).mapToObj(i -> "h" + i).toArray(String[]::new);
  }

  static Farm of(int tanks) {
    Tank like = SallowmereTanks.holding();
    List<Tank> all =
        Arrays.stream(ids(tanks))
            .map(
                id ->
                    new Tank(
                        id,
                        "Holding " + id.substring(1),
                        like.kind(),
                        like.waterLitres(),
                        like.depthM(),
                        like.supply(),
                        like.loads(),
                        Optional.empty()))
            .toList();
    return new Farm("Sallowmere", 40.0, all);
  }
}
