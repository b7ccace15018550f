// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.Locale;

/** Why an oxygen probe is not to be trusted. */
enum ProbeDoubt {
  /** Nothing speaks against it. */
  NONE("", false),
  /** It repeats one value, far longer than it ordinarily does. */
  STUCK("repeats one value", true),
  /** It reads nothing, out of water that held oxygen a moment before. */
  READS_ZERO("reads zero all at once", true),
  /** Oxygen and temperature stepped together, or it freezes. */
  OUT_OF_WATER("seems to be out of the water", true),
  /** It stepped to where it would stand in air, and has not moved since ({@link AirLevel}). */
  IN_AIR("jumped to what air would show, and stands there", true),
  /** It stepped further than water can between two readings. */
  JUMPED("jumped further than water can", false),
  /**
   * Oxygen and temperature stepped, and it reads as water would of which a part was changed. The
   * odds are that it was; it is the probe's level that is doubted then, not the probe.
   */
  WATER_CHANGED("stands at another level since the temperature stepped", false),
  /** One reading after another stands alone. */
  JUMPING("keeps jumping", false);

  private final String words;
  private final boolean blind;

  ProbeDoubt(String words, boolean blind) {
    this.words = words;
    this.blind = blind;
  }

  /** What it does, for a sentence that begins with the probe. */
  String words() {
    return words;
  }

  /** Whether it would not show a fall, were there one. */
  boolean isBlind() {
    return blind;
  }

  /** Whether it stands at a level that is not the water's, and comes down from it afterwards. */
  boolean isDisplaced() {
    return switch (this) {
      case READS_ZERO, OUT_OF_WATER, IN_AIR, JUMPED, WATER_CHANGED -> true;
      default -> false;
    };
  }

  /** Whether somebody should look at the probe. */
  boolean isTold() {
    return this != NONE && this != WATER_CHANGED;
  }

  /** Whether it is often over in a minute or two: a wave, a splash, a tank that tilts. */
  boolean mayPass() {
    return this == OUT_OF_WATER;
  }

  /** For logs and tests. */
  String id() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
