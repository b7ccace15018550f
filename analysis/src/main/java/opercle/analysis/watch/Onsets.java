// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Generalised likelihood ratio of "a steady fall began at that moment" against "nothing began", for
 * some three dozen moments at once, on the surprises of {@link QuietWater}.
 *
 * <p>Willsky and Jones (1976), IEEE Trans. Autom. Control 21, 108–112 (from memory): whatever is
 * added to the readings shows in a Kalman filter's surprises as a signature that can be worked out
 * in advance, for the filter follows part of it. Here that is a fall of unit rate seen through the
 * probe's lag, {@code g(t) = −(t − τ(1 − exp(−t/τ)))}. With {@code a} the correlation of signature
 * and surprises and {@code b} the signature's energy, the rate is {@code a/b ± 1/√b} and the score
 * {@code a/√b}, standard normal in quiet water.
 *
 * <p>The moments are kept at ages that grow geometrically, which loses next to nothing and keeps
 * the memory constant. A wrong lag only moves the apparent onset.
 *
 * <p>mg/L and seconds. Not thread-safe.
 */
final class Onsets {

  /** The probe's assumed lag: a T90 of 23 s. */
  static final double LAG_SECONDS = 10.0;

  private static final int MOST = 36;
  private static final double OLDEST_SECONDS = 1800.0;

  /** Ages whose scores are watched for calibration, seconds, see {@link #scoreAtAge}. */
  static final double[] AGES = {40.0, 160.0, 640.0};

  private int count; // oldest first
  private final Onset[] onsets = new Onset[MOST];

  private double score;
  private double scoreWithoutOne;
  private double scoreWithoutTwo;
  private double rate;
  private double rateSd;
  private double age;
  private final double[] scoreAtAge = new double[AGES.length];
  private final int[] youngest = new int[AGES.length];

  /** One moment; mutable, for it is touched with every reading. */
  private static final class Onset {
    double age;
    double lagLeft; // exp(−age/τ)
    double level; // what the filter has followed of the fall
    double drift;
    double a;
    double b;
    double strongestA;
    double strongestB;
    double secondA;
    double secondB;

    void begin() {
      age = 0.0;
      lagLeft = 1.0;
      level = 0.0;
      drift = 0.0;
      a = 0.0;
      b = 0.0;
      strongestA = 0.0;
      strongestB = 0.0;
      secondA = 0.0;
      secondB = 0.0;
    }
  }

  /** One moment as a value; the fields are those of the sums above. */
  record Snapshot(
      double age,
      double lagLeft,
      double level,
      double drift,
      double a,
      double b,
      double strongestA,
      double strongestB,
      double secondA,
      double secondB) {}

  Onsets() {
    for (int i = 0; i < MOST; i++) {
      onsets[i] = new Onset();
    }
  }

  /** Forgets all moments but the present one. */
  void start() {
    count = 0;
    score = 0.0;
    scoreWithoutOne = 0.0;
    scoreWithoutTwo = 0.0;
    begin();
  }

  /**
   * Takes the filter's newest surprise.
   *
   * @param dt seconds since the one before
   * @param clip however great it is, it counts as this many standard deviations
   */
  void accept(double dt, QuietWater water, double clip) {
    double sd = water.foretoldSd();
    double surprise = Math.max(-clip, Math.min(clip, water.surprise())) / sd;
    double weight = 1.0 / (sd * sd);
    double kept = water.driftKept();
    double levelGain = water.levelGain();
    double driftGain = water.driftGain();
    double decay = Math.exp(-dt / LAG_SECONDS);
    score = 0.0;
    scoreWithoutOne = 0.0;
    scoreWithoutTwo = 0.0;
    Arrays.fill(youngest, -1);
    @Nullable Onset best = null;
    double bestA = 0.0;
    double bestB = 1.0;
    for (int i = 0; i < count; i++) {
      Onset o = onsets[i];
      o.age += dt;
      o.lagLeft *= decay;
      o.level += o.drift * dt;
      o.drift *= kept;
      double fall = -(o.age - LAG_SECONDS * (1.0 - o.lagLeft)) - o.level;
      double a = fall * surprise;
      double b = fall * fall * weight;
      o.a += a;
      o.b += b;
      if (a > o.strongestA) {
        o.secondA = o.strongestA;
        o.secondB = o.strongestB;
        o.strongestA = a;
        o.strongestB = b;
      } else if (a > o.secondA) {
        o.secondA = a;
        o.secondB = b;
      }
      o.level += levelGain * fall;
      o.drift += driftGain * fall;
      if (o.a > 0.0 && o.a * o.a * bestB > bestA * bestA * o.b) {
        bestA = o.a;
        bestB = o.b;
        best = o;
      }
      for (int k = 0; k < AGES.length; k++) {
        if (o.age >= AGES[k]) {
          youngest[k] = i; // oldest first, so that the youngest of that age stays
        }
      }
    }
    if (best != null) {
      score = ratio(best.a, best.b);
      scoreWithoutOne = ratio(best.a - best.strongestA, best.b - best.strongestB);
      scoreWithoutTwo =
          ratio(best.a - best.strongestA - best.secondA, best.b - best.strongestB - best.secondB);
      rate = best.a / best.b;
      rateSd = 1.0 / Math.sqrt(best.b);
      age = best.age;
    }
    for (int k = 0; k < AGES.length; k++) {
      scoreAtAge[k] =
          youngest[k] < 0 ? Double.NaN : ratio(onsets[youngest[k]].a, onsets[youngest[k]].b);
    }
    begin();
  }

  private static double ratio(double a, double b) {
    return b > 0.0 ? a / Math.sqrt(b) : 0.0;
  }

  private void begin() {
    if (count == MOST) {
      thin();
    }
    onsets[count++].begin();
  }

  /** Makes room: the oldest when it is too old, else the one that its neighbours stand in for. */
  private void thin() {
    int drop = 0;
    if (onsets[0].age < OLDEST_SECONDS) {
      double least = Double.MAX_VALUE;
      for (int i = 1; i < count - 1; i++) {
        double gap = onsets[i - 1].age - onsets[i + 1].age;
        if (gap < least * onsets[i].age) {
          least = gap / onsets[i].age;
          drop = i;
        }
      }
    }
    Onset dropped = onsets[drop];
    System.arraycopy(onsets, drop + 1, onsets, drop, count - 1 - drop);
    count--;
    onsets[count] = dropped;
  }

  /** The best fall's score, standard deviations; zero when nothing falls. */
  double score() {
    return score;
  }

  /** That fall's score without its most telling reading: a lone glitch leaves nothing here. */
  double scoreWithoutOne() {
    return scoreWithoutOne;
  }

  /** That fall's score without its two most telling readings. */
  double scoreWithoutTwo() {
    return scoreWithoutTwo;
  }

  /** Score of the onset of about that age; NaN where there is none as old. */
  double scoreAtAge(int index) {
    return scoreAtAge[index];
  }

  /** The best fall's rate, (mg/L)/s, positive. */
  double rate() {
    return rate;
  }

  /** Its standard deviation. */
  double rateSd() {
    return rateSd;
  }

  /**
   * How fast it falls when it is not settled since when: the mean and the standard deviation of the
   * rate over all moments, each weighing as its likelihood does, {@code exp(score²/2)}. The best
   * moment's own rate claims more than is known: a late onset with a steep fall may explain the
   * readings nearly as well as an early one with a gentle fall.
   */
  Rate rateOfAnyOnset() {
    double weights = 0.0;
    double mean = 0.0;
    double squares = 0.0;
    for (int i = 0; i < count; i++) {
      Onset o = onsets[i];
      if (o.a > 0.0 && o.b > 0.0) {
        double weight = Math.exp(0.5 * (o.a * o.a / o.b - score * score));
        double r = o.a / o.b;
        weights += weight;
        mean += weight * r;
        squares += weight * (r * r + 1.0 / o.b);
      }
    }
    if (weights == 0.0) {
      return new Rate(rate, rateSd);
    }
    mean /= weights;
    return new Rate(mean, Math.sqrt(Math.max(0.0, squares / weights - mean * mean)));
  }

  /** A rate of fall, positive, and its standard deviation, (mg/L)/s. */
  record Rate(double mean, double sd) {}

  /** Seconds since the best fall began. */
  double age() {
    return age;
  }

  List<Snapshot> snapshot() {
    List<Snapshot> all = new ArrayList<>(count);
    for (int i = 0; i < count; i++) {
      Onset o = onsets[i];
      all.add(
          new Snapshot(
              o.age,
              o.lagLeft,
              o.level,
              o.drift,
              o.a,
              o.b,
              o.strongestA,
              o.strongestB,
              o.secondA,
              o.secondB));
    }
    return List.copyOf(all);
  }

  static Onsets of(List<Snapshot> snapshot) {
    Onsets onsets = new Onsets();
    for (Snapshot s : snapshot) {
      Onset o = onsets.onsets[onsets.count++];
      o.age = s.age();
      o.lagLeft = s.lagLeft();
      o.level = s.level();
      o.drift = s.drift();
      o.a = s.a();
      o.b = s.b();
      o.strongestA = s.strongestA();
      o.strongestB = s.strongestB();
      o.secondA = s.secondA();
      o.secondB = s.secondB();
    }
    return onsets;
  }
}
