// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.ArrayList;
import java.util.List;

/**
 * The last few dozen readings of one probe, to look at once more when something seems to have
 * happened: is it a fall, or a sudden step? Seconds before the newest, and mg/L. Not thread-safe.
 */
final class Recent {

  static final int MOST = 64;

  /** Probe lags tried, seconds: a T90 of 9, 28 and 60 s. */
  private static final double[] LAGS = {4.0, 12.0, 26.0};

  /** A change is looked for within this many of the newest readings. */
  private static final int NEWEST = 40;

  /** Of the quiet before a change, this many readings are looked at: older ones have wandered. */
  private static final int BEFORE = 6;

  private final double[] times = new double[MOST];
  private final double[] values = new double[MOST];
  private final double[] temperatures = new double[MOST]; // NaN where not known
  private double clock; // seconds since it began
  private int count;
  private int oldest;

  /** One reading as a value; seconds since the first that was kept. */
  record Entry(double time, double mgPerL, double temperatureC) {}

  /** The whole of it as a value, oldest first. */
  record Snapshot(double clock, List<Entry> entries) {}

  void add(double dt, double mgPerL, double temperatureC) {
    clock += dt;
    int at = slot(count);
    if (count == MOST) {
      oldest = slot(1);
    } else {
      count++;
    }
    times[at] = clock;
    values[at] = mgPerL;
    temperatures[at] = temperatureC;
  }

  private int slot(int i) {
    return (oldest + i) % MOST;
  }

  void clear() {
    clock = 0.0;
    count = 0;
    oldest = 0;
  }

  int count() {
    return count;
  }

  /** Seconds between a reading and the newest; the first is the oldest. */
  double age(int i) {
    return clock - times[slot(i)];
  }

  double value(int i) {
    return values[slot(i)];
  }

  private double temperature(int i) {
    return temperatures[slot(i)];
  }

  /**
   * How much better a sudden step explains the readings than a steady slope does: the difference of
   * the two least sums of squares, over level, size, moment and lag, in noise variances.
   *
   * @param sign −1 for a step down against a fall, 1 for a step up against a rise
   * @param since seconds since it seems to have begun
   */
  double stepOverSlope(double sign, double since, double noise) {
    int first = count - 1;
    while (first > 0 && age(first) < since) {
      first--;
    }
    first = Math.max(0, first - BEFORE);
    double slope = Double.MAX_VALUE;
    double step = Double.MAX_VALUE;
    for (int onset = Math.max(first + 1, count - NEWEST); onset < count - 1; onset++) {
      double began = age(onset);
      for (double lag : LAGS) {
        slope = Math.min(slope, residual(first, began, lag, sign, false));
        step = Math.min(step, residual(first, began, lag, sign, true));
      }
    }
    return slope == Double.MAX_VALUE ? 0.0 : (slope - step) / (noise * noise);
  }

  /** Least squares of level and size of a change of that sign that began so long ago. */
  private double residual(int first, double began, double lag, double sign, boolean step) {
    double sx = 0.0;
    double sxx = 0.0;
    double sy = 0.0;
    double sxy = 0.0;
    double syy = 0.0;
    double origin = value(first);
    int n = count - first;
    for (int i = first; i < count; i++) {
      double t = began - age(i);
      double x = 0.0;
      if (t > 0.0) {
        double followed = -Math.expm1(-t / lag);
        x = sign * (step ? followed : t - lag * followed);
      }
      double y = value(i) - origin;
      sx += x;
      sxx += x * x;
      sy += y;
      sxy += x * y;
      syy += y * y;
    }
    double spread = sxx - sx * sx / n;
    double covariance = sxy - sx * sy / n;
    double total = syy - sy * sy / n;
    return covariance <= 0.0 || spread <= 0.0 ? total : total - covariance * covariance / spread;
  }

  /** The water's lowest temperature within so many seconds; NaN where none is known. */
  double coldest(double seconds) {
    double coldest = Double.NaN;
    for (int i = count - 1; i >= 0 && age(i) <= seconds; i--) {
      if (!(temperature(i) >= coldest)) {
        coldest = temperature(i);
      }
    }
    return coldest;
  }

  /** The water's highest temperature within so many seconds; NaN where none is known. */
  double warmest(double seconds) {
    double warmest = Double.NaN;
    for (int i = count - 1; i >= 0 && age(i) <= seconds; i--) {
      if (!(temperature(i) <= warmest)) {
        warmest = temperature(i);
      }
    }
    return warmest;
  }

  Snapshot snapshot() {
    List<Entry> entries = new ArrayList<>(count);
    for (int i = 0; i < count; i++) {
      entries.add(new Entry(times[slot(i)], value(i), temperature(i)));
    }
    return new Snapshot(clock, List.copyOf(entries));
  }

  static Recent of(Snapshot s) {
    Recent r = new Recent();
    r.clock = s.clock();
    for (Entry e : s.entries()) {
      r.times[r.count] = e.time();
      r.values[r.count] = e.mgPerL();
      r.temperatures[r.count++] = e.temperatureC();
    }
    return r;
  }
}
