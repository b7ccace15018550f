// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.OptionalDouble;
import java.util.Set;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * Conditions that come on slowly and need no haste; looked at every few seconds. Limits without a
 * source are <i>common practice</i>. Not thread-safe.
 */
final class SlowChecks {

  private static final double EVERY_SECONDS = 5.0;
  static final double TEN_MINUTES = 600.0;

  /**
   * Air alone cannot keep water much above saturation; pure oxygen does, and harms nobody to 200 %.
   */
  static final double HIGHEST_PERCENT_WITH_AIR = 130.0;

  static final double HIGHEST_PERCENT_WITH_OXYGEN = 200.0;

  static final double UNEVEN_MG_PER_L = 1.0;
  static final double UNEVEN_SHARE = 0.15;

  static final double WARMING_PER_MINUTE = 2.0 / 60.0;
  private static final double WARMING_MEMORY_SECONDS = 900.0;
  private static final int WARMING_SAMPLES = 60;

  static final double TOO_HEAVY_SECONDS = 1200.0;
  static final double STEADY_PER_MINUTE = 0.02;

  static final double LOW_MINUTES = 12.0 * 60.0;

  private boolean looked;
  private long lastLook;
  private Trend temperature = Trend.NOT_HEARD;
  private Sustained high = Sustained.NOT;
  private Sustained warm = Sustained.NOT;
  private Sustained warming = Sustained.NOT;
  private Sustained uneven = Sustained.NOT;
  private Sustained tooHeavy = Sustained.NOT;
  private double cylinderMinutes = Double.NaN;

  /** The whole of it as a value. */
  record Snapshot(
      boolean looked,
      long lastLook,
      Trend temperature,
      Sustained high,
      Sustained warm,
      Sustained warming,
      Sustained uneven,
      Sustained tooHeavy,
      double cylinderMinutes) {}

  /** Whether it is time to look again. */
  boolean isDue(long now) {
    double since = Micros.seconds(now - lastLook);
    return !looked || since >= EVERY_SECONDS || since < 0.0;
  }

  /**
   * The clock by which it looks has stepped: what has held for a while has held as long as before.
   */
  void stepBy(long micros) {
    high = high.laterBy(micros);
    warm = warm.laterBy(micros);
    warming = warming.laterBy(micros);
    uneven = uneven.laterBy(micros);
    tooHeavy = tooHeavy.laterBy(micros);
  }

  void look(TankNow tank, boolean gasStopped) {
    looked = true;
    lastLook = tank.now;
    OptionalDouble celsius = tank.probes().fresh(Quantity.TEMPERATURE, tank.now);
    if (celsius.isPresent() && (temperature.samples() == 0 || tank.now > temperature.last())) {
      temperature = temperature.next(tank.now, celsius.getAsDouble(), WARMING_MEMORY_SECONDS);
    }
    high = high.next(isHigh(tank), tank.now);
    warm =
        warm.next(celsius.isPresent() && celsius.getAsDouble() > warmLimitC(tank.tank), tank.now);
    warming =
        warming.next(
            celsius.isPresent()
                && temperature.samples() > WARMING_SAMPLES
                && temperature.slopePerMinute() > WARMING_PER_MINUTE,
            tank.now);
    uneven = uneven.next(spread(tank) > 0.0, tank.now);
    tooHeavy = tooHeavy.next(!gasStopped && isSteadyBelowKeep(tank), tank.now);
    cylinderMinutes = CylinderLeft.minutesToReserve(tank);
  }

  void addTo(Set<AlarmCause> present, long now) {
    add(present, AlarmCause.OXYGEN_HIGH, high.isFor(TEN_MINUTES, now));
    add(
        present,
        AlarmCause.WATER_WARM,
        warm.isFor(TEN_MINUTES, now) || warming.isFor(TEN_MINUTES, now));
    add(present, AlarmCause.OXYGEN_UNEVEN, uneven.isFor(TEN_MINUTES, now));
    add(present, AlarmCause.LOAD_TOO_HEAVY, tooHeavy.isFor(TOO_HEAVY_SECONDS, now));
    add(present, AlarmCause.CYLINDER_LOW, cylinderMinutes <= LOW_MINUTES);
  }

  private static void add(Set<AlarmCause> present, AlarmCause cause, boolean holds) {
    if (holds) {
      present.add(cause);
    }
  }

  private static boolean isHigh(TankNow tank) {
    @Nullable OxygenProbe p = tank.speaking();
    return p != null
        && p.doubt() == ProbeDoubt.NONE
        && tank.saturationPercent().orElse(0.0) > highestPercent(tank.tank);
  }

  static double highestPercent(Tank tank) {
    return switch (tank.supply().gas()) {
      case AIR -> HIGHEST_PERCENT_WITH_AIR;
      case OXYGEN -> HIGHEST_PERCENT_WITH_OXYGEN;
    };
  }

  /**
   * Where water counts as warm for the load's tenderest species, °C: five degrees below the upper
   * lethal temperatures of the science notes (textbook values, from memory).
   */
  static double warmLimitC(Tank tank) {
    double limit = 30.0;
    for (Tank.Load load : tank.loads()) {
      limit =
          Math.min(
              limit,
              switch (load.species()) {
                case RAINBOW_TROUT, BROWN_TROUT -> 19.0;
                case PERCH, PIKE -> 25.0;
                case ROACH, RUDD, BREAM -> 26.0;
                default -> 30.0;
              });
    }
    return limit;
  }

  /** Whether the water warms fast, rather than being warm. */
  boolean isWarming(long now) {
    return warming.isFor(TEN_MINUTES, now);
  }

  /** Whether there are samples enough to tell how fast the water warms. */
  boolean warmingKnown() {
    return temperature.samples() > WARMING_SAMPLES && temperature.hasSlope();
  }

  /** Degrees an hour. */
  double warmingPerHour() {
    return 60.0 * temperature.slopePerMinute();
  }

  /** Whether the water's temperature has moved in the last quarter of an hour. */
  boolean temperatureMoved() {
    return temperature.samples() > 3 && Math.abs(temperature.newest() - temperature.mean()) > 0.5;
  }

  /** How far two trusted probes are apart beyond what is ordinary, mg/L; 0 where they are not. */
  static double spread(TankNow tank) {
    double lowest = Double.POSITIVE_INFINITY;
    double highest = Double.NEGATIVE_INFINITY;
    for (OxygenProbe p : tank.probes().oxygen()) {
      if (p.doubt() == ProbeDoubt.NONE && tank.probes().counts(p, tank.now)) {
        lowest = Math.min(lowest, p.trend.fitted());
        highest = Math.max(highest, p.trend.fitted());
      }
    }
    double spread = highest - lowest;
    return spread > Math.max(UNEVEN_MG_PER_L, UNEVEN_SHARE * highest) ? spread : 0.0;
  }

  private static boolean isSteadyBelowKeep(TankNow tank) {
    @Nullable OxygenProbe p = tank.speaking();
    return p != null
        && p.level.belowKeep()
        && p.fall == null
        && p.doubt() == ProbeDoubt.NONE
        && p.trend.hasSlope()
        && Math.abs(p.trend.slopePerMinute()) < STEADY_PER_MINUTE;
  }

  /** Minutes until the cylinder is down to its reserve. */
  double cylinderMinutes() {
    return cylinderMinutes;
  }

  Snapshot snapshot() {
    return new Snapshot(
        looked, lastLook, temperature, high, warm, warming, uneven, tooHeavy, cylinderMinutes);
  }

  static SlowChecks of(Snapshot s) {
    SlowChecks c = new SlowChecks();
    c.looked = s.looked();
    c.lastLook = s.lastLook();
    c.temperature = s.temperature();
    c.high = s.high();
    c.warm = s.warm();
    c.warming = s.warming();
    c.uneven = s.uneven();
    c.tooHeavy = s.tooHeavy();
    c.cylinderMinutes = s.cylinderMinutes();
    return c;
  }
}
