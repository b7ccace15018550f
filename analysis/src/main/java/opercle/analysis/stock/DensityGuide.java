// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.Band;
import opercle.analysis.ValidRange;

/**
 * How many kilograms of fish a litre of water is asked to carry: the band's ends are <i>easy</i>
 * (low), <i>full</i> (likely: above it, take care) and <i>extreme</i> (high: do not).
 *
 * <p>The published tables for these species (Berka 1986, FAO T8389E) could not be opened, so the
 * densities are <i>common practice</i>, set under what was read for hardier use: channel catfish
 * 0.7–1.0 kg/L for 1–4 h at 10–16 °C (Wynne 2007), 0.48 for 16 h at 18 °C (Piper et al. 1982), carp
 * without any gas dead in 20 min at 0.5 kg/L (institute trial, 2010). A density is a habit, not a
 * physiology: oxygen, carbon dioxide and ammonia are worked out apart and decide as well.
 *
 * <p>Temperature: Piper et al. (1982) where their example runs, 8.3–13.9 °C; colder water is not
 * given more; in warmer water the density falls as Krogh's factor. Time: to 4 h as it stands,
 * beyond as (4 h / t)^0.4, which joins the two catfish figures (ours).
 */
public final class DensityGuide {

  private static final double SHORT_TRIP_HOURS = 4.0;
  private static final double TIME_EXPONENT = 0.4;

  private static final ValidRange HOURS =
      new ValidRange("transport density guide", "duration", 0.0, 72.0, "h");

  private DensityGuide() {}

  /**
   * Density on the road with oxygen, kg of fish per litre of water.
   *
   * @param species which
   * @param temperatureC the warmest that the water gets, °C
   * @param hours from loading to unloading, 0–72 h
   */
  public static Figure transportKgPerL(Species species, double temperatureC, double hours) {
    Band at11Degrees =
        switch (species) {
          case COMMON_CARP, CRUCIAN_CARP, TENCH -> new Band(0.20, 0.35, 0.65);
          case BREAM, ROACH, RUDD -> new Band(0.10, 0.18, 0.35);
          case PERCH, PIKE -> new Band(0.08, 0.15, 0.30);
          case RAINBOW_TROUT, BROWN_TROUT -> new Band(0.10, 0.18, 0.32);
        };
    double time =
        Math.pow(
            SHORT_TRIP_HOURS / Math.max(SHORT_TRIP_HOURS, HOURS.require(hours)), TIME_EXPONENT);
    return new Figure(
        at11Degrees.times(time * temperatureFactor(temperatureC)),
        "kg/L",
        Evidence.commonPractice("no published table for the species; scaled by Piper 1982"));
  }

  /** Density for holding over days with steady aeration, kg of fish per litre of water. */
  public static Figure holdingKgPerL(Species species, double temperatureC) {
    Band at11Degrees =
        switch (species) {
          case COMMON_CARP, CRUCIAN_CARP, TENCH -> new Band(0.03, 0.06, 0.12);
          case BREAM, ROACH, RUDD -> new Band(0.015, 0.03, 0.06);
          case PERCH, PIKE -> new Band(0.01, 0.025, 0.05);
          case RAINBOW_TROUT, BROWN_TROUT -> new Band(0.02, 0.04, 0.08);
        };
    return new Figure(
        at11Degrees.times(temperatureFactor(temperatureC)),
        "kg/L",
        Evidence.commonPractice("no published table for the species; scaled by Piper 1982"));
  }

  /**
   * Density on the road for a mixture: the one at which the batches' shares of their own guides add
   * up to one.
   */
  public static Figure transportKgPerL(FishLoad load, double temperatureC, double hours) {
    double low = 0.0;
    double likely = 0.0;
    double high = 0.0;
    Evidence evidence = Evidence.commonPractice("");
    for (Batch batch : load.batches()) {
      Figure own = transportKgPerL(batch.species(), temperatureC, hours);
      low += batch.kg() / own.value().low();
      likely += batch.kg() / own.value().likely();
      high += batch.kg() / own.value().high();
      evidence = own.evidence();
    }
    double kg = load.kg();
    return new Figure(new Band(kg / low, kg / likely, kg / high), "kg/L", evidence);
  }

  /** Density over that at 11.1 °C. */
  static double temperatureFactor(double temperatureC) {
    double within =
        Math.max(
            PiperLoadTemperature.LOWEST_C, Math.min(PiperLoadTemperature.HIGHEST_C, temperatureC));
    double factor = PiperLoadTemperature.factor(within);
    return temperatureC <= PiperLoadTemperature.HIGHEST_C
        ? factor
        : factor * KroghFactor.at(temperatureC) / KroghFactor.at(PiperLoadTemperature.HIGHEST_C);
  }
}
