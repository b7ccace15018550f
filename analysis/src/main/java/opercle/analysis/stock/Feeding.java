// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.Band;

/** Whether fish have food in them, which raises what they breathe and what they give off. */
public enum Feeding {
  /** Kept without food for two days or more. */
  UNFED(
      Band.exactly(1.0),
      new Band(0.07, 0.15, 0.20),
      Evidence.fromMemory("ammonia quotient 0.10–0.20 fasted; low end from van Weerd et al. 1995")),
  /**
   * Fed within the last day. Perch took 1.92 and 1.85 times as much when digesting (Thuy et al.
   * 2010; Zakęś et al. 2003; both read).
   */
  FED(
      new Band(1.5, 1.9, 2.2),
      new Band(0.20, 0.25, 0.30),
      Evidence.fromMemory("ammonia quotient 0.2–0.3 fed; oxygen x1.9 in perch (read)"));

  private final Band oxygenMultiplier;
  private final Band ammoniaQuotient;
  private final Evidence evidence;

  Feeding(Band oxygenMultiplier, Band ammoniaQuotient, Evidence evidence) {
    this.oxygenMultiplier = oxygenMultiplier;
    this.ammoniaQuotient = ammoniaQuotient;
    this.evidence = evidence;
  }

  /** Multiple of routine oxygen demand. */
  public Band oxygenMultiplier() {
    return oxygenMultiplier;
  }

  /** Moles of ammonia given off per mole of oxygen taken. */
  public Band ammoniaQuotient() {
    return ammoniaQuotient;
  }

  /** Where both come from. */
  public Evidence evidence() {
    return evidence;
  }
}
