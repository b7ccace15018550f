// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.Band;

/**
 * What fish give off for the oxygen they take: stoichiometry times a quotient of moles.
 *
 * <pre>
 *   mg TAN as nitrogen = AQ · 14.007/31.9988 · mg O2 = 0.4377 AQ · mg O2
 *   mg CO2             = RQ · 44.0095/31.9988 · mg O2 = 1.3754 RQ · mg O2
 * </pre>
 *
 * <p>AQ from memory (see {@link Feeding}); RQ 0.7 on fat when fasting, 0.85 mixed, 1.0 in exercise
 * (from memory). Measured: trout unfed 2.9, fed 12–13 mg N/kg/h (van Weerd et al. 1995, read).
 * Rates of carp by temperature were not found.
 */
public final class WasteOutput {

  /** Respiratory quotient, moles of carbon dioxide per mole of oxygen. */
  public static final Figure RESPIRATORY_QUOTIENT =
      new Figure(
          new Band(0.7, 0.85, 1.0),
          "mol/mol",
          Evidence.fromMemory("respiratory quotient 0.7 fat, 0.85 mixed, 1.0 exercise"));

  private static final double OXYGEN_G_PER_MOL = 31.9988;
  private static final double NITROGEN_G_PER_MOL = 14.007;
  private static final double CARBON_DIOXIDE_G_PER_MOL = 44.0095;

  private WasteOutput() {}

  /** Total ammonia, mg as nitrogen, given off per mg of oxygen taken. */
  public static Band tanMgPerMgOxygen(Feeding feeding) {
    return feeding.ammoniaQuotient().times(NITROGEN_G_PER_MOL / OXYGEN_G_PER_MOL);
  }

  /** Carbon dioxide, mg, given off per mg of oxygen taken. */
  public static Band carbonDioxideMgPerMgOxygen() {
    return RESPIRATORY_QUOTIENT.value().times(CARBON_DIOXIDE_G_PER_MOL / OXYGEN_G_PER_MOL);
  }
}
