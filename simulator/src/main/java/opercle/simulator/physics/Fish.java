// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import java.util.ArrayList;
import java.util.List;
import opercle.analysis.farm.Tank;

/**
 * The fish in one tank and what they breathe together. One thread only.
 *
 * <p>Routine demand times what the books leave out: this load's own temper (fixed for the run),
 * restlessness that wanders over a quarter of an hour, livelier and quieter hours of the day,
 * stress after loading or handling that fades exponentially, a meal being digested.
 */
public final class Fish {

  /**
   * Oxygen at which routine demand is cut to half, mg/L. Fish hold their rate down to a critical
   * level (carp 0.9–1.5 mg/L at 5–25 °C, trout 1.4–1.6: Ott, Heisler &amp; Ultsch 1980) and then
   * breathe what there is; the smooth curve is our construction.
   */
  private static final double HALF_RATE_MG_PER_L = 1.05;

  private record Lot(Respiration respiration, double kg, double meanG, double temper) {}

  private final List<Lot> lots = new ArrayList<>();
  private final double halfRateMgPerL;
  private final Chance chance;
  private final Wander restlessness;
  private final double dailyAmplitude;
  private final double liveliestHour;
  private double stressExcess;
  private double stressFadeSeconds = 3600.0;
  private double mealExcess;
  private double mealFadeSeconds = 3600.0;
  private double routineMgPerMin;
  private double rateAtC = Double.NaN;

  /**
   * The fish of a farm description.
   *
   * @param loads by species
   * @param chance draws temper and restlessness
   */
  public Fish(List<Tank.Load> loads, Chance chance) {
    this(chance, HALF_RATE_MG_PER_L, chance.logBetween(0.03, 0.10), chance.between(0.0, 0.06));
    for (Tank.Load load : loads) {
      add(load);
    }
  }

  /** Fish of the textbook: they breathe one rate whatever the hour and the water. */
  static Fish steady(double kg, double mgPerKgPerHour) {
    Fish fish = new Fish(new Chance(0), 0.0, 0.0, 0.0);
    fish.lots.add(new Lot(new Respiration.Fixed(mgPerKgPerHour), kg, 1000.0, 1.0));
    return fish;
  }

  private Fish(Chance chance, double halfRateMgPerL, double restless, double dailyAmplitude) {
    this.chance = chance;
    this.halfRateMgPerL = halfRateMgPerL;
    this.dailyAmplitude = dailyAmplitude;
    restlessness = new Wander(restless, 900.0, new Chance(chance.nextLong()));
    liveliestHour = chance.between(17.0, 29.0); // evening to early morning
  }

  private Fish(Fish other) {
    lots.addAll(other.lots);
    chance = other.chance.copy();
    halfRateMgPerL = other.halfRateMgPerL;
    restlessness = other.restlessness.copy();
    dailyAmplitude = other.dailyAmplitude;
    liveliestHour = other.liveliestHour;
    stressExcess = other.stressExcess;
    stressFadeSeconds = other.stressFadeSeconds;
    mealExcess = other.mealExcess;
    mealFadeSeconds = other.mealFadeSeconds;
    routineMgPerMin = other.routineMgPerMin;
    rateAtC = other.rateAtC;
  }

  /** The same fish from here on. */
  Fish copy() {
    return new Fish(this);
  }

  /** Puts more fish in. Individuals and strains differ by a fifth or so either way. */
  public void add(Tank.Load load) {
    lots.add(
        new Lot(
            Respiration.of(load.species()),
            load.kg(),
            load.meanMassKg() * 1000.0,
            chance.factor(0.15)));
    rateAtC = Double.NaN;
  }

  /** All of them, kg. */
  public double kg() {
    return lots.stream().mapToDouble(Lot::kg).sum();
  }

  /** Whether there are any. */
  boolean isEmpty() {
    return lots.isEmpty();
  }

  /**
   * Loading, netting or another fright: demand jumps to {@code multiple} of routine and fades.
   *
   * @param multiple at least 1; 1.4–2 for careful handling, 3–4 for exhausted fish
   * @param fadeHours time constant of the return, 0.5–2 h
   */
  public void stress(double multiple, double fadeHours) {
    stressExcess = Math.max(stressExcess, multiple - 1.0);
    stressFadeSeconds = fadeHours * 3600.0;
  }

  /** A meal: digestion up to doubles demand (perch ×1.9) and fades over hours. */
  public void feed(double multiple, double fadeHours) {
    mealExcess = Math.max(mealExcess, multiple - 1.0);
    mealFadeSeconds = fadeHours * 3600.0;
  }

  /** Time goes on. */
  void step(double seconds) {
    restlessness.step(seconds);
    stressExcess *= 1.0 - Math.min(1.0, seconds / stressFadeSeconds);
    mealExcess *= 1.0 - Math.min(1.0, seconds / mealFadeSeconds);
  }

  /** Routine demand of these fish, mg/min. */
  double routineMgPerMin(double temperatureC) {
    if (!(Math.abs(temperatureC - rateAtC) < 0.02)) {
      rateAtC = temperatureC;
      routineMgPerMin = 0.0;
      for (Lot l : lots) {
        routineMgPerMin +=
            l.temper * l.kg * l.respiration.mgPerKgPerHour(l.meanG, temperatureC) / 60.0;
      }
    }
    return routineMgPerMin;
  }

  /** What they would take with oxygen in plenty, mg/min. */
  double demandMgPerMin(double temperatureC, double hourOfDay) {
    if (lots.isEmpty()) {
      return 0.0;
    }
    double daily = 1.0 + dailyAmplitude * Math.cos((hourOfDay - liveliestHour) * Math.PI / 12.0);
    return routineMgPerMin(temperatureC)
        * daily
        * (1.0 + restlessness.value())
        * (1.0 + stressExcess + mealExcess);
  }

  /** The share of its demand that a fish gets at an oxygen level, 0–1. */
  double shareMetAt(double oxygenMgPerL) {
    if (oxygenMgPerL <= 0.0) {
      return 0.0;
    }
    double had = oxygenMgPerL * oxygenMgPerL * oxygenMgPerL;
    double half = halfRateMgPerL * halfRateMgPerL * halfRateMgPerL;
    return had / (half + had);
  }
}
