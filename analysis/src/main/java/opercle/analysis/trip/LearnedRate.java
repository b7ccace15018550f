// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.util.List;
import java.util.Optional;
import opercle.analysis.Band;
import opercle.analysis.plan.MeasuredRate;
import opercle.analysis.stock.OxygenDemand;
import opercle.analysis.stock.Species;

/**
 * What a farm's own trips say about a species at a temperature.
 *
 * <p>Trips of the species within 3 °C and a factor of three in body mass count, if their demand was
 * read with the gas off. Each is carried to the temperature and mass asked for along the species'
 * own curve, so that only the level is the farm's. The likely rate is their geometric mean; the
 * band holds eight in ten: Student's t on the logarithms once there are three trips, but never
 * narrower than the trips' own bands on average, nor than a tenth; with fewer, the trips' own bands
 * widened by half. Pure.
 */
public final class LearnedRate {

  /** How far a trip's temperature may lie off, °C. */
  public static final double WITHIN_C = 3.0;

  private static final double WITHIN_MASS = 3.0;

  /** Ours: a rate that is too low lets a plan say "go" for too many fish. */
  private static final double LEAST_SHARE_OF_PUBLISHED = 0.5;

  private static final int ENOUGH = 3;
  private static final double WIDENED = 1.5;
  private static final double NARROWEST = Math.log(1.1);

  /** Student's t, one-sided 0.9, for 2, 3, … degrees of freedom (any statistical table). */
  private static final double[] STUDENT = {
    1.886, 1.638, 1.533, 1.476, 1.440, 1.415, 1.397, 1.383, 1.372
  };

  private static final double NORMAL = 1.2816;

  private LearnedRate() {}

  /**
   * The farm's own rate.
   *
   * @param past what past trips taught
   * @param species whose
   * @param meanMassKg of a fish, kg
   * @param temperatureC asked for, °C
   * @return empty where no trip counts
   */
  public static Optional<MeasuredRate> of(
      List<PastDemand> past, Species species, double meanMassKg, double temperatureC) {
    List<PastDemand> alike = alike(past, species, meanMassKg, temperatureC);
    if (alike.isEmpty()) {
      return Optional.empty();
    }
    double curve = likely(species, meanMassKg, temperatureC);
    int n = alike.size();
    double sum = 0.0;
    double below = 0.0;
    double above = 0.0;
    double[] logs = new double[n];
    for (int i = 0; i < n; i++) {
      PastDemand p = alike.get(i);
      Band rate = p.mgPerKgPerHour();
      logs[i] = Math.log(rate.likely() * curve / likely(species, p.meanMassKg(), p.temperatureC()));
      sum += logs[i];
      below += Math.log(rate.likely() / Math.max(rate.low(), 0.1 * rate.likely()));
      above += Math.log(rate.high() / rate.likely());
    }
    double mean = sum / n;
    double widened = n < ENOUGH ? WIDENED : 1.0;
    double spread = n < ENOUGH ? 0.0 : spread(logs, mean);
    double down = Math.max(NARROWEST, Math.max(spread, widened * below / n));
    double up = Math.max(NARROWEST, Math.max(spread, widened * above / n));
    double least = MeasuredRate.RATE.low();
    double most = MeasuredRate.RATE.high();
    double likely = Math.exp(mean);
    if (likely < least || likely > most) {
      return Optional.empty(); // no fish breathe so: a mistake somewhere, and nothing to plan by
    }
    Band band =
        new Band(
            Math.max(least, Math.exp(mean - down)), likely, Math.min(most, Math.exp(mean + up)));
    return Optional.of(new MeasuredRate(band, temperatureC, n));
  }

  /** The trips that count, in their order. */
  public static List<PastDemand> alike(
      List<PastDemand> past, Species species, double meanMassKg, double temperatureC) {
    return past.stream()
        .filter(p -> p.species() == species)
        .filter(p -> p.way() == MeasuredDemand.Way.GAS_OFF)
        .filter(LearnedRate::isToBeBelieved)
        .filter(p -> Math.abs(p.temperatureC() - temperatureC) <= WITHIN_C)
        .filter(p -> Math.abs(Math.log(p.meanMassKg() / meanMassKg)) <= Math.log(WITHIN_MASS))
        .toList();
  }

  /** Less than half the least that is published: gas still flowed, or the fish were out by then. */
  private static boolean isToBeBelieved(PastDemand p) {
    double least =
        OxygenDemand.routineMgPerKgPerHour(p.species(), p.meanMassKg(), p.temperatureC()).low();
    return p.mgPerKgPerHour().likely() >= LEAST_SHARE_OF_PUBLISHED * least;
  }

  /** Where the next trip lies: t s √(1 + 1/n). */
  private static double spread(double[] logs, double mean) {
    int n = logs.length;
    double squares = 0.0;
    for (double log : logs) {
      squares += (log - mean) * (log - mean);
    }
    double t = n - 3 < STUDENT.length ? STUDENT[n - 3] : NORMAL;
    return t * Math.sqrt(squares / (n - 1) * (1.0 + 1.0 / n));
  }

  private static double likely(Species species, double meanMassKg, double temperatureC) {
    return OxygenDemand.routineMgPerKgPerHour(species, meanMassKg, temperatureC).likely();
  }
}
