// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/**
 * The moment at which oxygen began to fall, looked for afterwards in the whole trace.
 *
 * <p>A bent line by least squares (the change-point regression of Hinkley 1971, from memory),
 * behind a probe and a mixed tank that answer with a first-order lag T:
 *
 * <pre>
 *   y(t) = a + b (t − τ) + c [s − T (1 − e^(−s/T))],   s = max(0, t − τ)
 * </pre>
 *
 * <p>τ is tried second by second, and a, b and c solved for each. T is taken as 30 s (optical
 * probes answer to nine tenths in 15–70 s, from memory; a trace cannot tell T from τ). It is fitted
 * to 20 min before and 15 min after, or to the lowest oxygen where that comes sooner. The tolerance
 * is where τ would make the sum of squares no worse than a 95 % likelihood ratio allows (χ² of one
 * degree of freedom, 3.84), the readings counted for fewer where neighbours err together; 15 s for
 * the lag go on top, as squares add.
 *
 * <p>A bend counts where oxygen then falls by 1.5 mg/L within 6 min, 15 min or an hour, at least 1
 * mg/L/h faster than before: a tank on the road goes up and down by two thirds of that in the
 * simulator with nothing wrong. Of several the one that explains most comes first; further ones are
 * looked for before it, and after it once oxygen has risen by as much as makes a fall.
 *
 * @param seconds when, from the start of the trace
 * @param toleranceSeconds to either side
 * @param slopeBeforeMgPerLPerHour how oxygen went before
 * @param slopeAfterMgPerLPerHour how it fell after
 */
record ChangePoint(
    double seconds,
    double toleranceSeconds,
    double slopeBeforeMgPerLPerHour,
    double slopeAfterMgPerLPerHour) {

  private static final double BEFORE = 1200.0;
  private static final double[] AFTER = {360.0, 900.0, 3600.0};
  private static final double FITTED_AFTER = 900.0;
  private static final double COARSE = 20.0;
  private static final int LEAST_EACH_SIDE = 8;
  private static final double LEAST_FALL_MG_PER_L = 1.5;
  private static final double LEAST_BEND_PER_HOUR = 1.0;
  private static final double LAG = 30.0;
  private static final double LAG_ERROR = 15.0;
  private static final double CHI_SQUARED_95 = 3.84;

  /** A bend explains this many times what is left; far beyond what noise does (F of 1 and many). */
  private static final double LEAST_F = 60.0;

  /** Every bend downwards of a trace, the strongest first. */
  static List<ChangePoint> all(double[] seconds, double[] mgPerL) {
    Optional<ChangePoint> strongest = find(seconds, mgPerL);
    if (strongest.isEmpty()) {
      return List.of();
    }
    double at = strongest.get().seconds();
    int before = Window.from(at - strongest.get().toleranceSeconds(), seconds);
    int after = recovered(Window.from(at, seconds), mgPerL);
    List<ChangePoint> all = new ArrayList<>(strongest.stream().toList());
    all.addAll(all(Arrays.copyOf(seconds, before), Arrays.copyOf(mgPerL, before)));
    all.addAll(
        all(
            Arrays.copyOfRange(seconds, after, seconds.length),
            Arrays.copyOfRange(mgPerL, after, mgPerL.length)));
    return all;
  }

  /** Where oxygen has come up again after a fall; the end where it has not. */
  private static int recovered(int from, double[] mgPerL) {
    double lowest = Double.POSITIVE_INFINITY;
    for (int i = from; i < mgPerL.length; i++) {
      lowest = Math.min(lowest, mgPerL[i]);
      if (mgPerL[i] >= lowest + LEAST_FALL_MG_PER_L) {
        return i;
      }
    }
    return mgPerL.length;
  }

  /** The strongest bend downwards of a trace; empty where there is none. */
  static Optional<ChangePoint> find(double[] seconds, double[] mgPerL) {
    for (double after : AFTER) {
      double at = coarse(seconds, mgPerL, after);
      if (!Double.isNaN(at)) {
        return refined(at, Math.max(after, FITTED_AFTER), seconds, mgPerL);
      }
    }
    return Optional.empty();
  }

  private static double coarse(double[] seconds, double[] mgPerL, double after) {
    int n = seconds.length;
    double best = LEAST_F;
    double at = Double.NaN;
    if (n < 2 * LEAST_EACH_SIDE) {
      return at;
    }
    for (double tau = seconds[0] + COARSE; tau < seconds[n - 1]; tau += COARSE) {
      Window w = Window.about(tau, after, seconds, mgPerL);
      if (!w.isUsable(tau)) {
        continue;
      }
      Bend bend = w.fit(tau);
      double f = (w.straight() - bend.squares) / (bend.squares / Math.max(1, w.count() - 4) + 1e-9);
      if (f > best && bend.falls(w, tau)) {
        best = f;
        at = tau;
      }
    }
    return at;
  }

  private static Optional<ChangePoint> refined(
      double coarse, double after, double[] seconds, double[] mgPerL) {
    Window w = Window.about(coarse, after, seconds, mgPerL).toTheLowest(coarse);
    double first = Math.max(w.first() + LAG, coarse - 240.0);
    double last = Math.min(w.last() - LAG, coarse + 120.0);
    int steps = (int) Math.floor(last - first) + 1;
    if (steps < 1) {
      return Optional.empty();
    }
    Bend[] byTau = new Bend[steps];
    int best = 0;
    for (int i = 0; i < steps; i++) {
      byTau[i] = w.fit(first + i);
      if (byTau[i].squares < byTau[best].squares) {
        best = i;
      }
    }
    Bend bend = byTau[best];
    double widening = StraightLine.widening(w.residuals(first + best, bend));
    double most =
        bend.squares * (1.0 + CHI_SQUARED_95 * widening * widening / Math.max(1, w.count() - 5));
    int low = best;
    int high = best;
    for (int i = 0; i < steps; i++) {
      if (byTau[i].squares <= most) {
        low = Math.min(low, i);
        high = Math.max(high, i);
      }
    }
    double tolerance = Math.max(w.sample(), Math.max(best - low, high - best));
    return Optional.of(
        new ChangePoint(
            first + best,
            Math.hypot(tolerance, LAG_ERROR),
            3600.0 * bend.before,
            3600.0 * (bend.before + bend.bend)));
  }

  /** What a fit came to: slope before, and by how much it bends, per second. */
  private record Bend(double level, double before, double bend, double squares) {

    boolean falls(Window w, double tau) {
      double after = before + bend;
      return 3600.0 * bend <= -LEAST_BEND_PER_HOUR
          && -after * (w.last() - tau) >= LEAST_FALL_MG_PER_L;
    }
  }

  /** The readings about a moment. */
  private static final class Window {

    private final double[] t;
    private final double[] y;

    private Window(double[] t, double[] y) {
      this.t = t;
      this.y = y;
    }

    static Window about(double tau, double after, double[] seconds, double[] mgPerL) {
      int first = from(tau - BEFORE, seconds);
      int end = Math.max(first, from(Math.nextUp(tau + after), seconds));
      return new Window(
          Arrays.copyOfRange(seconds, first, end), Arrays.copyOfRange(mgPerL, first, end));
    }

    /** Where the readings at a moment or after it begin; a trip of days is searched, not walked. */
    private static int from(double moment, double[] seconds) {
      int low = 0;
      int high = seconds.length;
      while (low < high) {
        int middle = (low + high) >>> 1;
        if (seconds[middle] < moment) {
          low = middle + 1;
        } else {
          high = middle;
        }
      }
      return low;
    }

    /** The same, ending with the lowest reading after a moment. */
    Window toTheLowest(double tau) {
      int lowest = t.length - 1;
      for (int i = t.length - 1; i > 0 && t[i] > tau; i--) {
        if (y[i] < y[lowest]) {
          lowest = i;
        }
      }
      return new Window(Arrays.copyOf(t, lowest + 1), Arrays.copyOf(y, lowest + 1));
    }

    int count() {
      return t.length;
    }

    double first() {
      return t[0];
    }

    double last() {
      return t[t.length - 1];
    }

    double sample() {
      return (last() - first()) / Math.max(1, t.length - 1);
    }

    boolean isUsable(double tau) {
      int before = from(tau, t);
      return before >= LEAST_EACH_SIDE && t.length - before >= LEAST_EACH_SIDE;
    }

    /** Squares left by one straight line. */
    double straight() {
      StraightLine line = StraightLine.through(t, y);
      return line.residual() * line.residual() * (t.length - 2);
    }

    private static double ramp(double s) {
      if (s <= 0.0) {
        return 0.0;
      }
      return s + LAG * Math.expm1(-s / LAG);
    }

    /** Least squares for one moment. */
    Bend fit(double tau) {
      double[] r = new double[t.length];
      double n = t.length;
      double sx = 0.0;
      double sr = 0.0;
      double sy = 0.0;
      for (int i = 0; i < t.length; i++) {
        r[i] = ramp(t[i] - tau);
        sx += t[i] - tau;
        sr += r[i];
        sy += y[i];
      }
      double mx = sx / n;
      double mr = sr / n;
      double my = sy / n;
      double xx = 0.0;
      double xr = 0.0;
      double rr = 0.0;
      double xy = 0.0;
      double ry = 0.0;
      double yy = 0.0;
      for (int i = 0; i < t.length; i++) {
        double dx = t[i] - tau - mx;
        double dr = r[i] - mr;
        double dy = y[i] - my;
        xx += dx * dx;
        xr += dx * dr;
        rr += dr * dr;
        xy += dx * dy;
        ry += dr * dy;
        yy += dy * dy;
      }
      double determinant = xx * rr - xr * xr;
      if (!(determinant > 1e-9 * xx * rr)) {
        return new Bend(my, xx > 0.0 ? xy / xx : 0.0, 0.0, yy);
      }
      double before = (xy * rr - ry * xr) / determinant;
      double bend = (ry * xx - xy * xr) / determinant;
      double squares = Math.max(0.0, yy - before * xy - bend * ry);
      return new Bend(my - before * mx - bend * mr, before, bend, squares);
    }

    double[] residuals(double tau, Bend bend) {
      double[] left = new double[t.length];
      for (int i = 0; i < t.length; i++) {
        left[i] = y[i] - bend.level - bend.before * (t[i] - tau) - bend.bend * ramp(t[i] - tau);
      }
      return left;
    }
  }
}
