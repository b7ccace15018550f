// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.util.Locale;
import java.util.Optional;
import opercle.analysis.Band;
import opercle.analysis.ValidRange;
import opercle.analysis.farm.Tank;
import opercle.analysis.gas.SurfaceReaeration;
import opercle.analysis.water.AirPressure;

/**
 * The tank of a trip, as it was on it.
 *
 * @param id in topics and readings
 * @param name as the keeper calls it
 * @param waterLitres water without the fish, L
 * @param depthM water over the diffuser, m
 * @param supply how gas gets into it; a flow of 0 says that it had none
 * @param surface how its water meets the air
 * @param airPressureKPa of the air on the way, kPa absolute
 * @param waterTakesMgPerLPerHour what the water takes by itself, without fish, mg/L/h, where that
 *     was measured; 0 otherwise
 * @param saltGPerKg salt in its water, g/kg, by what was written down or measured at the tank; a
 *     salinity probe on the way goes before it
 * @param freshLPerHour fresh water that ran through it all the time, by its set-up, L/h; 0: none
 */
public record TripTank(
    String id,
    String name,
    double waterLitres,
    double depthM,
    Tank.Supply supply,
    Surface surface,
    double airPressureKPa,
    double waterTakesMgPerLPerHour,
    double saltGPerKg,
    double freshLPerHour) {

  /** No farm's own tank has it in its id: that is part of topics, at most 40 long. */
  private static final String OTHER_FARM = ":";

  private static final String TANK = "trip's tank";

  /** Water that a trip's tank may hold, L: from a closed vial to a pond lorry. */
  public static final ValidRange WATER = new ValidRange(TANK, "water", 0.001, 1.0e6, "L");

  /** Depth over the diffuser, m. */
  public static final ValidRange DEPTH = new ValidRange(TANK, "depth", 0.05, 6.0, "m");

  /** Flow that the keeper sets, L/min at 15 °C. */
  public static final ValidRange FLOW = new ValidRange(TANK, "flow", 0.0, 10_000.0, "L/min");

  /** Air pressure, kPa absolute. */
  public static final ValidRange PRESSURE =
      new ValidRange(TANK, "air pressure", 60.0, 110.0, "kPa");

  /** What the water takes by itself, mg/L/h. */
  public static final ValidRange WATER_TAKES =
      new ValidRange(TANK, "what the water takes by itself", 0.0, 100.0, "mg/L/h");

  /** Salt, g/kg: fresh to sea water, as far as the saturation curve goes. */
  public static final ValidRange SALT = new ValidRange(TANK, "salt", 0.0, 40.0, "g/kg");

  /** Fresh water that runs through, L/h, as in the set-up of a tank. */
  public static final ValidRange FRESH =
      new ValidRange(TANK, "fresh water", 0.0, 1_000_000.0, "L/h");

  public TripTank {
    WATER.require(waterLitres);
    DEPTH.require(depthM);
    FLOW.require(supply.flowLPerMin());
    PRESSURE.require(airPressureKPa);
    WATER_TAKES.require(waterTakesMgPerLPerHour);
    SALT.require(saltGPerKg);
    FRESH.require(freshLPerHour);
  }

  /**
   * A tank of a farm at an altitude with fresh water in it, on the road where it is a transport
   * tank.
   */
  public static TripTank of(Tank tank, double altitudeM) {
    return new TripTank(
        tank.id(),
        tank.name(),
        tank.waterLitres(),
        tank.depthM(),
        tank.supply(),
        tank.kind() == Tank.Kind.TRANSPORT ? Surface.MOVING : Surface.STILL,
        AirPressure.atAltitudeKPa(altitudeM),
        0.0,
        0.0,
        tank.holding().freshLPerHour().orElse(0.0));
  }

  /**
   * The tank of another farm, which is none of ours, whatever its short name: nothing that is
   * written or measured at ours is of it, and nothing of it is learned here.
   *
   * @param farm the other farm's name
   */
  public TripTank ofFarm(String farm) {
    String theirs = farm.toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9]+", "-");
    return new TripTank(
        id + OTHER_FARM + theirs.substring(0, Math.min(23, theirs.length())),
        "%s (%s)".formatted(name, farm),
        waterLitres,
        depthM,
        supply,
        surface,
        airPressureKPa,
        waterTakesMgPerLPerHour,
        saltGPerKg,
        freshLPerHour);
  }

  /** Whether it is a tank of another farm. */
  public boolean isOfOtherFarm() {
    return id.contains(OTHER_FARM);
  }

  /** The same with so much salt in its water, g/kg. */
  public TripTank withSalt(double gPerKg) {
    return new TripTank(
        id,
        name,
        waterLitres,
        depthM,
        supply,
        surface,
        airPressureKPa,
        waterTakesMgPerLPerHour,
        gPerKg,
        freshLPerHour);
  }

  /** How water meets the air. */
  public enum Surface {
    /** A holding tank, or one that is parked. */
    STILL(Optional.of(SurfaceReaeration.STILL)),
    /** On the road. */
    MOVING(Optional.of(SurfaceReaeration.MOVING)),
    /** Closed, without air: nothing crosses. */
    NONE(Optional.empty());

    private final Optional<SurfaceReaeration> reaeration;

    Surface(Optional<SurfaceReaeration> reaeration) {
      this.reaeration = reaeration;
    }

    /** Transfer coefficient of the surface, 1/h, at a water temperature of 0–40 °C. */
    Band perHour(double temperatureC) {
      return reaeration.map(r -> r.kLaPerHour(temperatureC)).orElse(Band.exactly(0.0));
    }

    /** The word in files. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }
}
