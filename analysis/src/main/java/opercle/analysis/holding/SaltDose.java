// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.util.Locale;
import java.util.Optional;
import opercle.analysis.ValidRange;
import opercle.analysis.water.BensonKrause1984;
import opercle.analysis.water.WaterConditions;

/**
 * Common salt in a tank: how much for a strength, what it is used for, and what it does to the
 * oxygen and to the probes. A gram in a litre is taken for a gram in a kilogram, as for fresh
 * water.
 *
 * @param kg to put in, kg; negative: there is too much, and fresh water takes it down
 * @param use what such a strength is used for
 * @param saturationBeforeMgPerL oxygen in equilibrium with air before, mg/L
 * @param saturationAfterMgPerL the same after it
 * @param conductivityStepMSPerCm by how much a conductivity probe steps, mS/cm at 25 °C
 */
public record SaltDose(
    double kg,
    Optional<Use> use,
    double saturationBeforeMgPerL,
    double saturationAfterMgPerL,
    double conductivityStepMSPerCm) {

  /** Of about 1.9 mS/cm for a gram of NaCl in a litre at 25 °C (from memory). */
  public static final double MS_PER_CM_PER_G_PER_L = 1.9;

  /** From where carp lose their hold on low oxygen within a week (De Boeck et al. 2000, read). */
  public static final double CARP_BREATHE_WORSE_G_PER_L = 10.0;

  /** The usual caution, in short. */
  public static final String CAUTION =
      "Pure salt without anti-caking agent or iodine; dissolve it first; no zinc-coated tanks. Step"
          + " larger changes and watch the fish. As a treatment only under the vet's advice and the"
          + " rules of your authority.";

  private static final ValidRange STRENGTH = new ValidRange("salt dose", "salt", 0.0, 35.0, "g/L");
  private static final ValidRange WATER =
      new ValidRange("salt dose", "water in the tank", 1.0, 1.0e7, "L");

  /** What a strength is used for, as published; see salt_dosing.csv. */
  public enum Use {
    /** Johnson 1979 recommends 2 g/L for hauling (read, in a thesis). */
    HOLDING(1.0, 3.0, "holding and hauling, hours to days: eases the loss of ions"),
    /** Kubitza 2016 (read). */
    RECOVERY(5.0, 6.0, "recovery after a strong bath, a day or more"),
    /** Weirich &amp; Tomasso 1991 and others, of red drum and striped bass (read, in a thesis). */
    NEAR_PLASMA(8.0, 11.0, "near the strength of the blood, for a trip only; of other species");

    private final double leastGPerL;
    private final double mostGPerL;
    private final String words;

    Use(double leastGPerL, double mostGPerL, String words) {
      this.leastGPerL = leastGPerL;
      this.mostGPerL = mostGPerL;
      this.words = words;
    }

    /** The weakest that is used for it, g/L. */
    public double leastGPerL() {
      return leastGPerL;
    }

    /** The strongest that is used for it, g/L. */
    public double mostGPerL() {
      return mostGPerL;
    }

    /** As people read it. */
    public String words() {
      return words;
    }

    /** The use whose range holds a strength. */
    static Optional<Use> of(double gPerL) {
      for (Use use : values()) {
        if (gPerL >= use.leastGPerL && gPerL <= use.mostGPerL) {
          return Optional.of(use);
        }
      }
      return Optional.empty();
    }
  }

  /**
   * A dose.
   *
   * @param waterLitres in the tank, 1–10,000,000 L
   * @param nowGPerL salt in it now, 0–35 g/L
   * @param targetGPerL wanted, 0–35 g/L
   * @param temperatureC of the water, 0–40 °C
   * @param pressureKPa of the air, kPa
   */
  public static SaltDose of(
      double waterLitres,
      double nowGPerL,
      double targetGPerL,
      double temperatureC,
      double pressureKPa) {
    double step = STRENGTH.require(targetGPerL) - STRENGTH.require(nowGPerL);
    BensonKrause1984 solubility = new BensonKrause1984();
    return new SaltDose(
        WATER.require(waterLitres) * step / 1000.0,
        Use.of(targetGPerL),
        solubility.saturationMgPerL(new WaterConditions(temperatureC, nowGPerL, pressureKPa)),
        solubility.saturationMgPerL(new WaterConditions(temperatureC, targetGPerL, pressureKPa)),
        MS_PER_CM_PER_G_PER_L * step);
  }

  /** What to mind at a strength, in whole sentences. */
  public static String mind(double targetGPerL) {
    StringBuilder words = new StringBuilder(CAUTION);
    if (targetGPerL >= 7.0) {
      words.append(
          String.format(
              Locale.ROOT,
              " Stronger than fish are held in: carp kept a week at about %.0f g/L bear low oxygen"
                  + " much worse (De Boeck et al. 2000).",
              CARP_BREATHE_WORSE_G_PER_L));
    }
    return words.toString();
  }

  /** What to tell the probes, in whole sentences. */
  public String probes() {
    return String.format(
        Locale.ROOT,
        "Water with it holds %.2f mg/L of oxygen in equilibrium with air, without %.2f. A meter that"
            + " turns percent into mg/L must be told the salt, or it reads high. A conductivity probe"
            + " steps by about %.1f mS/cm.",
        saturationAfterMgPerL,
        saturationBeforeMgPerL,
        conductivityStepMSPerCm);
  }
}
