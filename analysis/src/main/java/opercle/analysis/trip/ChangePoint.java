// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.util.Arrays;
import java.util.Optional;

/**
 * The moment at which oxygen began to fall, looked for afterwards in the whole trace.
 *
 * <p>A bent line by least squares (the change-point regression of Hinkley 1971, from memory),
 * behind a probe that answers with a first-order lag T:
 *
 * <pre>
 *   y(t) = a + b (t − τ) + c [s − T (1 − e^(−s/T))],   s = max(0, t − τ)
 * </pre>
 *
 * <p>τ and T are tried on a grid, a, b and c solved for each. The tolerance is where τ would make
 * the sum of squares no worse than a 95 % likelihood ratio allows (χ² of one degree of freedom,
 * 3.84), the readings counted for fewer where neighbours err together; it is at least one sample.
 * First a coarse look finds the bend that explains most in windows of 10 min before and 6 min
 * after; a bend counts only if oxygen then falls by at least 0.5 mg/L faster than 1 mg/L/h more
 * than before.
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

  private static final double BEFORE = 600.0;
  private static final double AFTER = 360.0;
  private static final double COARSE = 20.0;
  private static final int LEAST_EACH_SIDE = 8;
  private static final double LEAST_FALL_MG_PER_L = 0.5;
  private static final double LEAST_BEND_PER_HOUR = 1.0;

  /** A bend explains this many times what is left; far beyond what noise does (F of 1 and many). */
  private static final double LEAST_F = 60.0;

  private static final double[] LAGS = {0.0, 10.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0};
  private static final double CHI_SQUARED_95 = 3.84;

  /** The strongest bend downwards of a trace; empty where there is none. */
  static Optional<ChangePoint> find(double[] seconds, double[] mgPerL) {
    int n = seconds.length;
    if (n < 2 * LEAST_EACH_SIDE) {
      return Optional.empty();
    }
    double best = LEAST_F;
    double at = Double.NaN;
    for (double tau = seconds[0] + COARSE; tau < seconds[n - 1]; tau += COARSE) {
      Window w = Window.about(tau, seconds, mgPerL);
      if (!w.isUsable(tau)) {
        continue;
      }
      Bend bend = w.fit(tau, 0.0);
      double f = (w.straight() - bend.squares) / (bend.squares / Math.max(1, w.count() - 4) + 1e-9);
      if (f > best && bend.falls(w, tau)) {
        best = f;
        at = tau;
      }
    }
    return Double.isNaN(at) ? Optional.empty() : refined(at, seconds, mgPerL);
  }

  private static Optional<ChangePoint> refined(double coarse, double[] seconds, double[] mgPerL) {
    Window w = Window.about(coarse, seconds, mgPerL);
    double first = Math.max(w.first() + 30.0, coarse - 240.0);
    double last = Math.min(w.last() - 30.0, coarse + 120.0);
    int steps = (int) Math.floor(last - first) + 1;
    if (steps < 1) {
      return Optional.empty();
    }
    Bend[] byTau = new Bend[steps];
    Bend best = null;
    double tau = coarse;
    for (int i = 0; i < steps; i++) {
      for (double lag : LAGS) {
        Bend bend = w.fit(first + i, lag);
        Bend sofar = byTau[i];
        byTau[i] = sofar == null || bend.squares < sofar.squares ? bend : sofar;
      }
      if (best == null || byTau[i].squares < best.squares) {
        best = byTau[i];
        tau = first + i;
      }
    }
    if (best == null || !best.falls(w, tau)) {
      return Optional.empty();
    }
    double widening = StraightLine.widening(w.residuals(tau, best));
    double most =
        best.squares * (1.0 + CHI_SQUARED_95 * widening * widening / Math.max(1, w.count() - 5));
    double low = tau;
    double high = tau;
    for (int i = 0; i < steps; i++) {
      if (byTau[i].squares <= most) {
        low = Math.min(low, first + i);
        high = Math.max(high, first + i);
      }
    }
    double tolerance = Math.max(w.sample(), Math.max(tau - low, high - tau));
    return Optional.of(
        new ChangePoint(tau, tolerance, 3600.0 * best.before, 3600.0 * (best.before + best.bend)));
  }

  /** What a fit came to: slope before, and by how much it bends, per second. */
  private record Bend(double level, double before, double bend, double lag, double squares) {

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

    static Window about(double tau, double[] seconds, double[] mgPerL) {
      int first = 0;
      int end = seconds.length;
      while (first < end && seconds[first] < tau - BEFORE) {
        first++;
      }
      while (end > first && seconds[end - 1] > tau + AFTER) {
        end--;
      }
      return new Window(
          Arrays.copyOfRange(seconds, first, end), Arrays.copyOfRange(mgPerL, first, end));
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
      int before = 0;
      for (double s : t) {
        if (s < tau) {
          before++;
        }
      }
      return before >= LEAST_EACH_SIDE && t.length - before >= LEAST_EACH_SIDE;
    }

    /** Squares left by one straight line. */
    double straight() {
      StraightLine line = StraightLine.through(t, y);
      return line.residual() * line.residual() * (t.length - 2);
    }

    private static double ramp(double s, double lag) {
      if (s <= 0.0) {
        return 0.0;
      }
      return lag == 0.0 ? s : s + lag * Math.expm1(-s / lag);
    }

    /** Least squares for one moment and one lag. */
    Bend fit(double tau, double lag) {
      double[] r = new double[t.length];
      double n = t.length;
      double sx = 0.0;
      double sr = 0.0;
      double sy = 0.0;
      for (int i = 0; i < t.length; i++) {
        r[i] = ramp(t[i] - tau, lag);
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
        return new Bend(my, xx > 0.0 ? xy / xx : 0.0, 0.0, lag, yy);
      }
      double before = (xy * rr - ry * xr) / determinant;
      double bend = (ry * xx - xy * xr) / determinant;
      double squares = Math.max(0.0, yy - before * xy - bend * ry);
      return new Bend(my - before * mx - bend * mr, before, bend, lag, squares);
    }

    double[] residuals(double tau, Bend bend) {
      double[] left = new double[t.length];
      for (int i = 0; i < t.length; i++) {
        left[i] =
            y[i] - bend.level - bend.before * (t[i] - tau) - bend.bend * ramp(t[i] - tau, bend.lag);
      }
      return left;
    }
  }
}
