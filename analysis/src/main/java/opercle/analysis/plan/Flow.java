// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

/**
 * The gas flow that is set: one for the first hour; then from another evenly to that of the end,
 * which differs where the water warms or cools on the way.
 *
 * @param firstHourLPerMin L/min at 15 °C
 * @param afterLPerMin L/min at 15 °C, an hour after loading
 * @param atEndLPerMin L/min at 15 °C, at the end of the trip and from then on
 * @param tripMinutes how long the trip is, minutes
 */
record Flow(double firstHourLPerMin, double afterLPerMin, double atEndLPerMin, double tripMinutes) {

  private static final double FIRST_MINUTES = 60.0;

  static Flow steady(double lPerMin) {
    return new Flow(lPerMin, lPerMin, lPerMin, FIRST_MINUTES);
  }

  /** No more than a tank takes. */
  Flow atMost(double limitLPerMin) {
    return new Flow(
        Math.min(limitLPerMin, firstHourLPerMin),
        Math.min(limitLPerMin, afterLPerMin),
        Math.min(limitLPerMin, atEndLPerMin),
        tripMinutes);
  }

  double at(double hours) {
    double minutes = 60.0 * hours;
    if (minutes < FIRST_MINUTES) {
      return firstHourLPerMin;
    }
    if (tripMinutes <= FIRST_MINUTES) {
      return afterLPerMin;
    }
    double share = Math.min(1.0, (minutes - FIRST_MINUTES) / (tripMinutes - FIRST_MINUTES));
    return afterLPerMin + share * (atEndLPerMin - afterLPerMin);
  }

  /** Gas let out over a time, L. */
  double litresOver(double minutes) {
    double first = Math.min(FIRST_MINUTES, minutes);
    double evenly = Math.max(0.0, Math.min(minutes, tripMinutes) - FIRST_MINUTES);
    double beyond = minutes - first - evenly;
    return first * firstHourLPerMin
        + (evenly > 0.0 ? evenly * 0.5 * (afterLPerMin + at((first + evenly) / 60.0)) : 0.0)
        + (beyond > 0.0 ? beyond * at(minutes / 60.0) : 0.0);
  }

  /** How long so much gas lasts, minutes; infinite where none flows. */
  double minutesFor(double litres) {
    double first = FIRST_MINUTES * firstHourLPerMin;
    if (litres < first) {
      return litres / firstHourLPerMin;
    }
    double end = Math.max(FIRST_MINUTES, tripMinutes);
    double toTheEnd = litresOver(end);
    if (litres >= toTheEnd) {
      double last = at(end / 60.0);
      return last == 0.0 ? Double.POSITIVE_INFINITY : end + (litres - toTheEnd) / last;
    }
    double enough = FIRST_MINUTES;
    double tooLong = end;
    for (int i = 0; i < 40; i++) { // three days halved to well under a second
      double middle = 0.5 * (enough + tooLong);
      if (litresOver(middle) <= litres) {
        enough = middle;
      } else {
        tooLong = middle;
      }
    }
    return enough;
  }
}
