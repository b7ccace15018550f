// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/**
 * Brings together a farm that was changed in two places: by hand in its file, and on the pages.
 *
 * <p>What the hand changed counts; everything else is as the pages left it. So a keeper who mends a
 * depth in the file does not get back the fish of last month, and one who writes a new load there
 * gets it. Told apart by the file's last known text. Pure.
 */
public final class FarmMerge {

  private final Farm fileBefore;
  private final Farm file;
  private final Farm inForce;

  private FarmMerge(Farm fileBefore, Farm file, Farm inForce) {
    this.fileBefore = fileBefore;
    this.file = file;
    this.inForce = inForce;
  }

  /**
   * The farm that is to be in force.
   *
   * @param fileBefore what the file said when it was last read
   * @param file what it says now
   * @param inForce the farm as it was last in force
   */
  public static Farm of(Farm fileBefore, Farm file, Farm inForce) {
    return new FarmMerge(fileBefore, file, inForce).merged();
  }

  private Farm merged() {
    Map<String, Tank> tanks = new LinkedHashMap<>();
    for (Tank tank : file.tanks()) {
      tank(tank).ifPresent(t -> tanks.put(t.id(), t));
    }
    for (Tank tank : inForce.tanks()) {
      boolean takenOutByHand =
          fileBefore.tank(tank.id()).isPresent() && file.tank(tank.id()).isEmpty();
      if (!takenOutByHand) {
        tanks.putIfAbsent(tank.id(), tank);
      }
    }
    return new Farm(
        pick(fileBefore, file, inForce, Farm::name),
        pick(fileBefore, file, inForce, Farm::altitudeM),
        tanks.values().stream().toList());
  }

  private Optional<Tank> tank(Tank now) {
    @Nullable Tank before = fileBefore.tank(now.id()).orElse(null);
    @Nullable Tank kept = inForce.tank(now.id()).orElse(null);
    if (before == null) {
      return Optional.of(now); // written into the file since
    }
    if (kept == null) { // taken out on the pages; back only if the file speaks of it anew
      return before.equals(now) ? Optional.empty() : Optional.of(now);
    }
    return Optional.of(
        new Tank(
            now.id(),
            pick(before, now, kept, Tank::name),
            pick(before, now, kept, Tank::kind),
            pick(before, now, kept, Tank::waterLitres),
            pick(before, now, kept, Tank::depthM),
            pick(before, now, kept, Tank::supply),
            pick(before, now, kept, Tank::loads),
            pick(before, now, kept, Tank::floors),
            pick(before, now, kept, Tank::responseMinutes),
            pick(before, now, kept, Tank::holding)));
  }

  private static <W, T> T pick(W before, W now, W kept, Function<W, T> part) {
    T byHand = part.apply(now);
    return Objects.equals(part.apply(before), byHand) ? part.apply(kept) : byHand;
  }
}
