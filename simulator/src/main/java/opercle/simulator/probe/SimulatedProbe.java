// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.probe;

import java.time.Instant;
import java.util.Arrays;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.simulator.physics.Chance;
import org.jspecify.annotations.Nullable;

/**
 * One probe: follows the truth with two lags and speaks at its own, slightly uneven times. One
 * thread only.
 */
public final class SimulatedProbe {

  private static final double TAIL_FACTOR = 4.0;

  private final Series series;
  private final ProbeTraits traits;
  private final Dialect dialect;
  private final Chance chance;
  private final ProbeTrouble trouble = new ProbeTrouble();
  private long nextDueMs;
  private final double[] inTheLine; // truths on their way to the probe, one for each step
  private int lineIndex;
  private double first = Double.NaN;
  private double second = Double.NaN;
  private double lastSaid = Double.NaN;
  private double tauSeconds = Double.NaN;
  private double tauAtC = Double.NaN;

  SimulatedProbe(Series series, ProbeTraits traits, long startMs, Chance chance) {
    this.series = series;
    this.traits = traits;
    this.chance = chance;
    dialect = Dialect.of(series);
    inTheLine = new double[traits.deadSeconds()];
    nextDueMs = startMs + (long) (1000.0 * traits.intervalSeconds() * chance.uniform());
  }

  /** Which probe it is. */
  public Series series() {
    return series;
  }

  /** What is wrong with it. */
  public ProbeTrouble trouble() {
    return trouble;
  }

  Dialect dialect() {
    return dialect;
  }

  /** When it speaks next, ms since 1970. */
  long nextDueMs() {
    return nextDueMs;
  }

  /**
   * Follows the truth for a step of a second; the first truth it meets is where it stands.
   *
   * @param seconds length of the step, s; dead time is counted in steps
   */
  void follow(double seconds, double truth, double temperatureC) {
    if (Double.isNaN(second)) {
      Arrays.fill(inTheLine, truth);
      first = truth;
      second = truth;
      return;
    }
    double reaching = truth;
    if (inTheLine.length > 0) {
      reaching = inTheLine[lineIndex];
      inTheLine[lineIndex] = truth;
      lineIndex = (lineIndex + 1) % inTheLine.length;
    }
    if (!(Math.abs(temperatureC - tauAtC) < 0.25)) {
      tauAtC = temperatureC;
      tauSeconds = traits.tauAt(temperatureC);
    }
    first += (reaching - first) * -Math.expm1(-seconds / traits.secondTauSeconds());
    second += (first - second) * -Math.expm1(-seconds / (tauSeconds * trouble.lag()));
  }

  /** Takes the reading that is due and plans the next; null when the probe stays silent. */
  @Nullable Reading speak() {
    long due = nextDueMs;
    double interval = traits.intervalSeconds();
    double uneven = interval * (1.0 + traits.unevenness() * chance.normal());
    nextDueMs = due + Math.max(1L, Math.round(1000.0 * Math.max(0.5 * interval, uneven)));
    double noise = chance.normal() * traits.noiseSd() * trouble.noise();
    if (chance.happens(traits.tailShare())) {
      noise *= TAIL_FACTOR;
    }
    double spike =
        trouble.spikesPerReading() > 0.0 && chance.happens(trouble.spikesPerReading())
            ? trouble.spikeSize() * chance.between(-0.6, 1.4)
            : 0.0;
    if (trouble.isSilent() || Double.isNaN(second)) {
      return null;
    }
    if (!trouble.isStuck() || Double.isNaN(lastSaid)) {
      double value =
          second * traits.gain() * trouble.gain()
              + traits.offset()
              + trouble.offset()
              + noise
              + spike;
      lastSaid = trouble.saysZero() ? 0.0 : shown(value);
    }
    Instant stamp = Instant.ofEpochMilli(due - Math.floorMod(due, traits.stampMs()));
    return new Reading(series.tank(), series.quantity(), series.probe(), stamp, lastSaid);
  }

  /** To the last digit of the display; only a thermometer shows less than nought. */
  private double shown(double value) {
    double least = series.quantity() == Quantity.TEMPERATURE ? -10.0 : 0.0;
    double stepsPerUnit = Math.rint(1.0 / traits.resolution());
    double most = series.quantity().highestPlausible();
    return Math.rint(Math.min(most, Math.max(least, value)) * stepsPerUnit) / stepsPerUnit;
  }
}
