// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmChanges;
import opercle.analysis.farm.Tank;
import opercle.analysis.setup.FarmDoor;

/** Tanks of a farm that is being changed. */
final class SetUpTanks {

  private static final int VERSIONS_LOOKED_AT = 50;

  private SetUpTanks() {}

  /** The tank of that id, or a problem that says that there is none. */
  static Tank required(Farm farm, String id) {
    return farm.tank(id).orElseThrow(() -> Api.noTank());
  }

  /** The farm with a tank as it is now. */
  static Farm with(Farm farm, Tank tank) {
    return new Farm(
        farm.name(),
        farm.altitudeM(),
        farm.tanks().stream().map(t -> t.id().equals(tank.id()) ? tank : t).toList());
  }

  /**
   * Sees to it that nobody has described a tank anew since a version; fish that came or went do not
   * count.
   *
   * @throws RefusedActException if somebody has, with what they changed
   */
  static void requireUnchanged(FarmDoor door, long seen, Farm now, String id) {
    if (door.version().number() == seen) {
      return;
    }
    List<FarmVersion> since =
        door.history(VERSIONS_LOOKED_AT).stream().filter(v -> v.number() >= seen).toList();
    Optional<FarmVersion> base = since.stream().filter(v -> v.number() == seen).findFirst();
    Farm alone = alone(now, id);
    if (base.isEmpty()) {
      throw new RefusedActException(
          "%s has changed the farm meanwhile. Look at it again, then change it."
              .formatted(door.version().by()));
    }
    Farm was = alone(base.get().farm(), id);
    if (!was.equals(alone)) {
      throw new RefusedActException(
          "%s has changed it meanwhile. %s Look at it again, then change it."
              .formatted(who(since, alone, id), String.join(" ", FarmChanges.between(was, alone))));
    }
  }

  /** Who made it what it is: the oldest of the newest versions in which it is the same. */
  private static String who(List<FarmVersion> newestFirst, Farm alone, String id) {
    return newestFirst.stream()
        .takeWhile(v -> alone(v.farm(), id).equals(alone))
        .reduce((newer, older) -> older)
        .map(FarmVersion::by)
        .orElse("Somebody");
  }

  private static Farm alone(Farm farm, String id) {
    return new Farm(
        farm.name(),
        farm.altitudeM(),
        farm.tank(id).map(t -> t.withLoads(List.of())).stream().toList());
  }
}
