// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Instant;
import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;

/**
 * Something that people did at a tank, most of which its readings will show.
 *
 * @param tank the tank's id
 * @param kind what was done
 * @param time when
 * @param by who says so; empty where nobody is named
 */
public record TankEvent(String tank, Kind kind, Instant time, Optional<String> by) {

  /** An event that nobody put their name to. */
  public TankEvent(String tank, Kind kind, Instant time) {
    this(tank, kind, time, Optional.empty());
  }

  /** What people do at a tank. */
  public enum Kind {
    /** Fish were put in: demand steps up and settles. */
    FISH_ADDED,
    /** Fish were taken out. */
    FISH_REMOVED,
    /** The fish were netted, sorted or treated. */
    HANDLED,
    /** The fish were fed. */
    FED,
    /** Water was let in or exchanged: oxygen and temperature may step. */
    WATER_CHANGED,
    /** A probe was cleaned, moved or calibrated: its readings may step. */
    PROBE_CLEANED,
    /** Gas was turned up or down on purpose. */
    GAS_CHANGED,
    /** Somebody looked in, with a hand meter or without: nothing changes by it. */
    CHECKED;

    /** The word in events and pages. */
    public String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    /** The kind of that word, or empty. */
    public static Optional<Kind> of(String id) {
      return Arrays.stream(values()).filter(k -> k.id().equals(id)).findFirst();
    }

    /** All words, for messages. */
    public static String ids() {
      return Arrays.stream(values()).map(Kind::id).collect(Collectors.joining(", "));
    }

    /** Whether oxygen may fall for a while because of it, with nothing wrong. */
    boolean explainsFall() {
      return this == FISH_ADDED || this == HANDLED || this == FED || this == WATER_CHANGED;
    }

    /** Whether the readings may step because of it. */
    boolean movesReadings() {
      return this == WATER_CHANGED || this == PROBE_CLEANED;
    }
  }
}
