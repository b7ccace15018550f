// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import java.time.Instant;
import java.util.List;
import java.util.Optional;

/**
 * Who would be called tonight, and by what.
 *
 * @param isKnown whether the process that was asked can tell
 * @param ways every channel of every person; empty: nobody would be called
 */
public record Reach(boolean isKnown, List<Way> ways) {

  /** The process that was asked does not call people, and cannot tell what another would do. */
  public static final Reach NOT_KNOWN = new Reach(false, List.of());

  /** Nobody is set up to be called. */
  public static final Reach NOBODY = new Reach(true, List.of());

  public Reach {
    ways = List.copyOf(ways);
  }

  /**
   * One channel of one person.
   *
   * @param person their name
   * @param channel the channel's name
   * @param tested when it last took a test; empty: never, or not known any more
   * @param trouble why it does not work, in words; empty where nothing is known against it
   */
  public record Way(
      String person, String channel, Optional<Instant> tested, Optional<String> trouble) {}
}
