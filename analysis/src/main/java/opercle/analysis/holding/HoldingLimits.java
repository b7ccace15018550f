// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.util.List;
import java.util.Map;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Evidence;
import opercle.analysis.stock.Species;

/**
 * What a load in a holding tank should not go beyond: the strictest of its species.
 *
 * @param days held, days
 * @param daysAreTheKeepers whether the keeper set them; else they are common practice
 * @param ammoniaMgPerL un-ionised ammonia to stay under for days, mg/L as NH₃
 * @param ammoniaHarmsMgPerL from where it harms within hours, mg/L as NH₃
 * @param carbonDioxideMgPerL to stay under, mg/L
 * @param carbonDioxideHarmsMgPerL from where fish are in trouble, mg/L
 */
public record HoldingLimits(
    double days,
    boolean daysAreTheKeepers,
    double ammoniaMgPerL,
    double ammoniaHarmsMgPerL,
    double carbonDioxideMgPerL,
    double carbonDioxideHarmsMgPerL) {

  /** For how long fish are held where the keeper has set nothing, days; no publication found. */
  public static final double USUAL_DAYS = 14.0;

  /** Where the figures about ammonia come from. */
  public static final Evidence AMMONIA =
      Evidence.fromMemory(
          "EIFAC T54 1993: 0.05 cyprinids, 0.0125 salmonids; harm: Piper et al. 1982 (read), a"
              + " quarter of the LC50 of Hasan & Macintosh 1986 (read)");

  /** Where the figures about carbon dioxide come from. */
  public static final Evidence CARBON_DIOXIDE =
      Evidence.read(
          "World Aquaculture 2007(1) citing Piper: under 20; 20–30 borne near oxygen saturation");

  private static final double CYPRINIDS = 0.05;
  private static final double SALMONIDS = 0.0125;

  /** Between the two groups that were read of: the EU directive's limit (from memory). */
  private static final double PREDATORS = 0.025;

  /** Trout are harmed from 6 h at 0.10–0.14 (Piper et al. 1982, read). */
  private static final double HARMS_TROUT = 0.10;

  /** A quarter of 1.74 mg/L NH₃-N, at which half of carp fry died in 96 h, as NH₃. */
  private static final double HARMS_CYPRINIDS = 0.5;

  /** For the fish in a tank; an empty one has those of carp. */
  public static HoldingLimits of(Tank tank) {
    List<Species> species = tank.loads().stream().map(Tank.Load::species).distinct().toList();
    boolean tender = species.stream().anyMatch(HoldingLimits::isSalmonid);
    boolean hunters = species.stream().anyMatch(s -> s.group() == Species.Group.PERCH_AND_PIKE);
    double usual = tank.holding().days().orElse(USUAL_DAYS);
    Map<Species, Double> bySpecies = tank.holding().daysBySpecies();
    return new HoldingLimits(
        species.stream().mapToDouble(s -> bySpecies.getOrDefault(s, usual)).min().orElse(usual),
        tank.holding().days().isPresent() || species.stream().anyMatch(bySpecies::containsKey),
        tender ? SALMONIDS : hunters ? PREDATORS : CYPRINIDS,
        tender || hunters ? HARMS_TROUT : HARMS_CYPRINIDS,
        20.0,
        40.0);
  }

  private static boolean isSalmonid(Species species) {
    return species.group() == Species.Group.TROUT;
  }
}
