// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * What a probe would read were nothing the matter: a Kalman filter for a level that wanders and a
 * slow drift (the day's warming and cooling) that fades within hours.
 *
 * <p>It foretells each reading; how far the reading is off, in standard deviations, is the {@link
 * #surprise()}. Surprises of quiet water are independent and standard normal, which is what the
 * detectors build on. A surprise moves the level by no more than one of three standard deviations
 * does, so that a glitch hardly shows.
 *
 * <p>mg/L and seconds. Not thread-safe.
 */
final class QuietWater {

  /**
   * Ordinary drift, standard deviation: 0.18 mg/L in an hour (common practice). It lasts for a
   * quarter of a day, as warming and cooling do: one taken to turn sooner hides a slow fall.
   */
  private static final double DRIFT_SD = 0.003 / 60.0;

  private static final double DRIFT_MEMORY_SECONDS = 6.0 * 3600.0;
  private static final double CLIP = 3.0;

  private double level;
  private double drift;
  private double levelVariance;
  private double covariance;
  private double driftVariance;
  private double foretoldSd;
  private double surprise;
  private double levelGain;
  private double driftGain;
  private double driftKept;

  /** The whole of it as a value. */
  record Snapshot(
      double level,
      double drift,
      double levelVariance,
      double covariance,
      double driftVariance,
      double foretoldSd,
      double surprise) {}

  void start(double mgPerL, double noise) {
    level = mgPerL;
    drift = 0.0;
    levelVariance = noise * noise;
    covariance = 0.0;
    driftVariance = DRIFT_SD * DRIFT_SD;
    foretoldSd = noise;
    surprise = 0.0;
  }

  /**
   * Takes a reading.
   *
   * @param dt seconds since the one before
   * @param noise the probe's, standard deviation
   * @param wanderPerSecond variance that the level gains in a second
   */
  void accept(double dt, double mgPerL, double noise, double wanderPerSecond) {
    driftKept = Math.exp(-dt / DRIFT_MEMORY_SECONDS);
    level += drift * dt;
    drift *= driftKept;
    levelVariance += dt * (2.0 * covariance + dt * driftVariance + wanderPerSecond);
    covariance = driftKept * (covariance + dt * driftVariance);
    double kept = driftKept * driftKept;
    driftVariance = kept * driftVariance + (1.0 - kept) * DRIFT_SD * DRIFT_SD;
    double variance = levelVariance + noise * noise;
    foretoldSd = Math.sqrt(variance);
    surprise = (mgPerL - level) / foretoldSd;
    levelGain = levelVariance / variance;
    driftGain = covariance / variance;
    double step = Math.max(-CLIP, Math.min(CLIP, surprise)) * foretoldSd;
    level += levelGain * step;
    drift += driftGain * step;
    driftVariance -= driftGain * covariance;
    covariance -= levelGain * covariance;
    levelVariance -= levelGain * levelVariance;
  }

  /** The level now, mg/L. */
  double level() {
    return level;
  }

  /** How far the newest reading was off what was foretold, in standard deviations. */
  double surprise() {
    return surprise;
  }

  /** Standard deviation of what was foretold, mg/L. */
  double foretoldSd() {
    return foretoldSd;
  }

  /** How much of a surprise went into the level. */
  double levelGain() {
    return levelGain;
  }

  /** How much of a surprise went into the drift, 1/s. */
  double driftGain() {
    return driftGain;
  }

  /** How much of the drift was kept since the reading before. */
  double driftKept() {
    return driftKept;
  }

  Snapshot snapshot() {
    return new Snapshot(
        level, drift, levelVariance, covariance, driftVariance, foretoldSd, surprise);
  }

  static QuietWater of(Snapshot s) {
    QuietWater q = new QuietWater();
    q.level = s.level();
    q.drift = s.drift();
    q.levelVariance = s.levelVariance();
    q.covariance = s.covariance();
    q.driftVariance = s.driftVariance();
    q.foretoldSd = s.foretoldSd();
    q.surprise = s.surprise();
    return q;
  }
}
