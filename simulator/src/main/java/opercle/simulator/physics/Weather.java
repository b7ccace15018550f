// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import opercle.analysis.water.AirPressure;

/**
 * The air over the farm: day and night, season, pressure. A made-up temperate lowland year. One
 * thread only.
 */
public final class Weather {

  private final double altitudeKPa;
  private final Wander pressure;
  private final Wander air;
  private double hourOfDay;
  private double dayOfYear;
  private double warmerC;
  private double warmingCPerHour;
  private double warmestC;

  /**
   * The weather from an instant on.
   *
   * @param start when the run starts; hours are taken as UTC
   * @param altitudeM metres above sea level
   * @param chance its own chance
   */
  public Weather(Instant start, double altitudeM, Chance chance) {
    altitudeKPa = AirPressure.atAltitudeKPa(altitudeM);
    pressure = new Wander(0.7, 30.0 * 3600.0, new Chance(chance.nextLong()));
    air = new Wander(1.2, 6.0 * 3600.0, new Chance(chance.nextLong()));
    dayOfYear = LocalDate.ofInstant(start, ZoneOffset.UTC).getDayOfYear();
    hourOfDay = Math.floorMod(start.getEpochSecond(), 86_400L) / 3600.0;
  }

  private Weather(Weather other) {
    altitudeKPa = other.altitudeKPa;
    pressure = other.pressure.copy();
    air = other.air.copy();
    hourOfDay = other.hourOfDay;
    dayOfYear = other.dayOfYear;
    warmerC = other.warmerC;
    warmingCPerHour = other.warmingCPerHour;
    warmestC = other.warmestC;
  }

  /** The same weather from here on. */
  public Weather copy() {
    return new Weather(this);
  }

  /** Time goes on. */
  public void step(double seconds) {
    pressure.step(seconds);
    air.step(seconds);
    hourOfDay += seconds / 3600.0;
    if (hourOfDay >= 24.0) {
      hourOfDay -= 24.0;
      dayOfYear = dayOfYear % 365.0 + 1.0;
    }
    warmerC = Math.min(warmestC, warmerC + warmingCPerHour * seconds / 3600.0);
  }

  /** A warm spell sets in: the air warms at a rate up to so many degrees more. */
  public void warmUp(double degreesC, double perHour) {
    warmestC = degreesC;
    warmingCPerHour = perHour;
  }

  /** Hours since midnight, 0–24. */
  public double hourOfDay() {
    return hourOfDay;
  }

  /** Air pressure at the site, kPa absolute; ordinary weather, within 3 kPa of its mean. */
  public double pressureKPa() {
    return altitudeKPa + Math.max(-3.0, Math.min(3.0, pressure.value()));
  }

  /** Air outdoors, °C. */
  public double outdoorC() {
    return seasonC() + dayAndNight(5.0) + air.value() + warmerC;
  }

  /** Air in the holding shed, °C: half of the season, less of the day. */
  public double shedC() {
    return 11.0 + 0.25 * (seasonC() - 10.5) + dayAndNight(2.0) + 0.4 * air.value() + warmerC;
  }

  /** Mean of the season, °C: 4 in January, 17 in July. */
  private double seasonC() {
    return 10.5 + 6.5 * Math.sin(2.0 * Math.PI * (dayOfYear - 110.0) / 365.0);
  }

  private double dayAndNight(double amplitudeC) {
    return amplitudeC * Math.cos((hourOfDay - 15.0) * Math.PI / 12.0);
  }
}
