// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

/**
 * The gas flow that is set: one for the first hour, one after it.
 *
 * @param firstHourLPerMin L/min at 15 °C
 * @param afterLPerMin L/min at 15 °C
 */
record Flow(double firstHourLPerMin, double afterLPerMin) {

  private static final double FIRST_MINUTES = 60.0;

  static Flow steady(double lPerMin) {
    return new Flow(lPerMin, lPerMin);
  }

  double at(double hours) {
    return hours < 1.0 ? firstHourLPerMin : afterLPerMin;
  }

  /** Gas let out over a time, L. */
  double litresOver(double minutes) {
    double first = Math.min(FIRST_MINUTES, minutes);
    double rest = minutes - first;
    return first * firstHourLPerMin + (rest > 0.0 ? rest * afterLPerMin : 0.0);
  }

  /** How long so much gas lasts, minutes; infinite where none flows. */
  double minutesFor(double litres) {
    double first = FIRST_MINUTES * firstHourLPerMin;
    if (litres < first) {
      return litres / firstHourLPerMin;
    }
    return afterLPerMin == 0.0
        ? Double.POSITIVE_INFINITY
        : FIRST_MINUTES + (litres - first) / afterLPerMin;
  }
}
