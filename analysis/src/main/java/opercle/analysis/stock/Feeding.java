// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.Band;

/** Whether fish have food in them, which raises what they breathe and what they give off. */
public enum Feeding {
  /** Kept without food for two days or more. */
  UNFED,
  /** Fed within the last day. */
  FED;

  /**
   * Multiple of routine oxygen demand. Perch took 1.92 and 1.85 times as much when digesting (Thuy
   * et al. 2010; Zakęś et al. 2003; both read).
   */
  public Band oxygenMultiplier() {
    return switch (this) {
      case UNFED -> Band.exactly(1.0);
      case FED -> new Band(1.5, 1.9, 2.2);
    };
  }

  /**
   * Moles of ammonia given off per mole of oxygen taken: 0.10–0.20 fasted, 0.2–0.3 fed (from
   * memory). The low end of unfed fish is brought down to the 2.9 mg N/kg/h of fasted trout (van
   * Weerd et al. 1995, read).
   */
  public Band ammoniaQuotient() {
    return switch (this) {
      case UNFED -> new Band(0.07, 0.15, 0.20);
      case FED -> new Band(0.20, 0.25, 0.30);
    };
  }

  /** Where both come from. */
  public Evidence evidence() {
    return switch (this) {
      case UNFED -> Evidence.fromMemory("ammonia quotient 0.10–0.20, van Weerd et al. 1995");
      case FED -> Evidence.fromMemory("ammonia quotient 0.2–0.3; oxygen ×1.9 in perch (read)");
    };
  }
}
