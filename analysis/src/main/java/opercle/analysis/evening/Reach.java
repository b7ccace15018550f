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
   * @param accepted when it last took anything; empty: never, or not known any more
   */
  public record Way(
      String person,
      String channel,
      Optional<Instant> tested,
      Optional<String> trouble,
      Optional<Instant> accepted) {

    /** One that took nothing but tests. */
    public Way(String person, String channel, Optional<Instant> tested, Optional<String> trouble) {
      this(person, channel, tested, trouble, tested);
    }

    private boolean isProved() {
      return tested.isPresent() || accepted.isPresent();
    }
  }

  /**
   * Whether at least one way can be counted on: nothing is known against it, and it has taken
   * something. One that was never tried has to do only while none has taken anything. Empty where
   * nobody would be called.
   */
  public Optional<Boolean> canCall() {
    boolean someProved = ways.stream().anyMatch(Way::isProved);
    return ways.isEmpty()
        ? Optional.empty()
        : Optional.of(
            ways.stream().anyMatch(w -> w.trouble().isEmpty() && (w.isProved() || !someProved)));
  }
}
