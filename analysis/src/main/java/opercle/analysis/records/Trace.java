// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.util.List;
import java.util.Optional;

/**
 * Where fish came from, or where they went. Numbers of fish are likely ones ({@link Tracing} says
 * by which rule): they add up, and none of them says which fish.
 *
 * @param way in which direction
 * @param fish how many were traced
 * @param steps the movements that are likely to have carried some, in order of time
 * @param ends forwards: where they are; backwards: where they were first counted in
 * @param died deaths on the way and, forwards, what left the books without a water to go to
 * @param notKnown of which the books cannot say where they came from: more fish left a water than
 *     it held; in a forward trace of a movement always 0
 */
public record Trace(
    Way way, double fish, List<Step> steps, List<End> ends, double died, double notKnown) {

  /** Which way a trace goes. */
  public enum Way {
    FORWARDS,
    BACKWARDS
  }

  /**
   * A movement on the way.
   *
   * @param movement its id
   * @param likelyFish how many of the traced fish it carried
   * @param perhaps it may have carried some, but a movement without a count lies between
   */
  public record Step(String movement, double likelyFish, boolean perhaps) {}

  /**
   * An end of a trace.
   *
   * @param water its id
   * @param species which fish
   * @param likelyFish how many of the traced fish
   * @param perhaps there may be some, but a movement without a count lies between
   */
  public record End(String water, String species, double likelyFish, boolean perhaps) {

    private static final double ROUNDING = 1.0e-6;

    public End {
      if (likelyFish < 0.0 && likelyFish > -ROUNDING) {
        likelyFish = 0.0; // shares that are taken apart and put together again
      }
    }
  }

  /**
   * A movement that took more fish than the books hold there. It stands; somebody should look.
   *
   * @param movement its id
   * @param water the id of the water
   * @param took how many
   * @param held how many the books hold
   */
  public record Overdraw(String movement, String water, long took, double held) {}

  public Trace {
    steps = List.copyOf(steps);
    ends = List.copyOf(ends);
  }

  /** One end, where there is one of that water and species. */
  Optional<End> end(String water, String species) {
    return ends.stream()
        .filter(e -> e.water().equals(water) && Movement.key(e.species()).equals(species))
        .findFirst();
  }
}
