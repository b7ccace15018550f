// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.Band;

/**
 * The oxygen that fish need, mg/L, from the least a resting fish can draw on up to comfort.
 *
 * <p>Two different questions are both right: resting carp keep up their rate down to 1.1–1.45 mg/L
 * (Ott et al. 1980), moving carp are limited below 5.6 mg/L already (Hughes et al. 1983). Alarms
 * belong well above the first; hence the ladder of floors.
 */
public final class OxygenLimits {

  /** Oxygen that a tank on pure oxygen may run at, % of air saturation. */
  public static final Figure SUPERSATURATION_CARE_PERCENT =
      new Figure(
          Band.exactly(200.0),
          "% of air saturation",
          Evidence.derived("no harm to trout at 147–220 % (Edsall & Smith 1990)"));

  /** Above this gas bubbles in the blood are to be feared, % of air saturation. */
  public static final Figure SUPERSATURATION_STOP_PERCENT =
      new Figure(
          Band.exactly(300.0),
          "% of air saturation",
          Evidence.fromMemory("250–300 %, EIFAC Technical Paper 54, 1993"));

  private static final String MG_PER_L = "mg/L";
  private static final Evidence LADDER =
      Evidence.derived("our ladder on EIFAC T54 1993 and US EPA 1986 (both from memory)");

  private OxygenLimits() {}

  /**
   * The level below which a resting, unfed fish can no longer keep up its rate, in fresh water,
   * mg/L. Salt raises it: carp kept in about 10 g/kg for a week to a month 1.6–3.3 times (De Boeck
   * et al. 2000).
   */
  public static Figure restingCriticalMgPerL(Species species) {
    return switch (species) {
      case COMMON_CARP ->
          mgPerL(0.88, 1.3, 1.45, Evidence.read("Ott et al. 1980; Malekpouri et al. 2016"));
      case CRUCIAN_CARP ->
          mgPerL(1.23, 1.9, 4.02, Evidence.read("Fu et al. 2014; Sollid et al. 2005 (22 g fish)"));
      case TENCH ->
          mgPerL(
              0.7,
              1.3,
              2.0,
              Evidence.derived(
                  "taken as common carp, no published value;"
                      + " ranked most tolerant by Downing & Merkens 1957"));
      case ROACH ->
          mgPerL(
              0.8,
              1.5,
              2.5,
              Evidence.derived("taken as common carp and perch, no published value"));
      case BREAM, RUDD ->
          mgPerL(0.8, 1.5, 2.5, Evidence.derived("taken as roach, no published value"));
      case PERCH -> mgPerL(1.49, 1.49, 2.15, Evidence.read("Thuy et al. 2010; high: digesting"));
      case PIKE -> mgPerL(1.2, 1.6, 2.6, Evidence.derived("taken as perch, no published value"));
      case RAINBOW_TROUT ->
          mgPerL(
              1.16,
              1.5,
              1.73,
              Evidence.read("Ott et al. 1980; Svendsen et al. 2012; Zhang et al. 2018"));
      case BROWN_TROUT ->
          mgPerL(1.1, 1.5, 2.2, Evidence.derived("taken as rainbow trout, no published value"));
    };
  }

  /** The floor below which fish are being harmed, mg/L. */
  public static Figure criticalFloorMgPerL(Species species) {
    return new Figure(Band.exactly(species.criticalFloorMgPerL()), MG_PER_L, LADDER);
  }

  /** The floor at which the keeper must act, mg/L. */
  public static Figure keepFloorMgPerL(Species species) {
    return new Figure(Band.exactly(species.keepFloorMgPerL()), MG_PER_L, LADDER);
  }

  /** The oxygen that fish are comfortable at, mg/L. */
  public static Figure comfortMgPerL(Species species) {
    return switch (species.group()) {
      case CYPRINID -> mgPerL(6.0, 7.0, 8.0, Evidence.fromMemory("EIFAC T54 1993, cyprinids 6–8"));
      case PERCH_AND_PIKE ->
          mgPerL(5.0, 7.0, 8.0, Evidence.derived("popular lists, perch and zander 5–7 (low)"));
      case TROUT -> mgPerL(8.0, 9.0, 10.0, Evidence.fromMemory("EIFAC T54 1993, salmonids 8–10"));
    };
  }

  private static Figure mgPerL(double low, double likely, double high, Evidence evidence) {
    return new Figure(new Band(low, likely, high), MG_PER_L, evidence);
  }
}
