// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

/**
 * A straight line through readings by least squares, with what its slope is uncertain by.
 *
 * <p>Neighbouring readings of a probe err together; the textbook's standard error is widened by
 * √((1+r)/(1−r)) with the residuals' lag-one autocorrelation r (Bayley &amp; Hammersley 1946, from
 * memory), never narrowed.
 *
 * @param slope per unit of x
 * @param slopeError one standard error of it
 * @param meanX middle of the readings
 * @param meanY mean of the readings
 * @param residual standard deviation about the line
 * @param count readings
 */
record StraightLine(
    double slope, double slopeError, double meanX, double meanY, double residual, int count) {

  /** Through at least three readings at different x. */
  static StraightLine through(double[] x, double[] y) {
    int n = x.length;
    if (n < 3) {
      throw new IllegalArgumentException("a line needs at least 3 readings but had " + n);
    }
    double meanX = mean(x);
    double meanY = mean(y);
    double sxx = 0.0;
    double sxy = 0.0;
    for (int i = 0; i < n; i++) {
      sxx += (x[i] - meanX) * (x[i] - meanX);
      sxy += (x[i] - meanX) * (y[i] - meanY);
    }
    double slope = sxy / sxx;
    double[] residuals = new double[n];
    double squares = 0.0;
    for (int i = 0; i < n; i++) {
      residuals[i] = y[i] - meanY - slope * (x[i] - meanX);
      squares += residuals[i] * residuals[i];
    }
    double residual = Math.sqrt(squares / (n - 2));
    double error = residual / Math.sqrt(sxx) * widening(residuals);
    return new StraightLine(slope, error, meanX, meanY, residual, n);
  }

  /** By how much neighbours that err together widen a standard error; at least 1. */
  static double widening(double[] residuals) {
    double squares = 0.0;
    double neighbours = 0.0;
    for (int i = 0; i < residuals.length; i++) {
      squares += residuals[i] * residuals[i];
      if (i > 0) {
        neighbours += residuals[i] * residuals[i - 1];
      }
    }
    double r = squares > 0.0 ? Math.max(0.0, Math.min(0.98, neighbours / squares)) : 0.0;
    return Math.sqrt((1.0 + r) / (1.0 - r));
  }

  private static double mean(double[] values) {
    double sum = 0.0;
    for (double value : values) {
      sum += value;
    }
    return sum / values.length;
  }
}
