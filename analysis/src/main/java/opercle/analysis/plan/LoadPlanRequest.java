// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.ValidRange;
import opercle.analysis.farm.Tank;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.Feeding;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.HandlingStress;
import opercle.analysis.water.AirPressure;

/**
 * What a load plan is asked for.
 *
 * @param load the fish
 * @param waterLitres water in the tank, without the fish, L
 * @param temperatureC water temperature at loading, °C
 * @param riseC by how much it is expected to warm on the way, °C; negative if it cools
 * @param minutes from loading to unloading
 * @param gas what is fed
 * @param diffuser through what
 * @param depthM water over the diffuser, m
 * @param flowLPerMin the flow that will be set, L/min at 15 °C; empty: the plan's own
 * @param cylinders what the oxygen comes from, where the keeper said
 * @param reserveBar what is to be left in the cylinder at the end, bar gauge
 * @param responseMinutes how long it takes to notice, stop and get gas flowing again
 * @param handling how the fish were loaded
 * @param feeding whether they have food in them
 * @param pressureKPa air pressure on the way, kPa absolute
 * @param saltGPerKg salt in the water, g/kg: it holds less oxygen then
 * @param measuredRate what fish like these were measured to breathe; empty: by the published curve
 */
public record LoadPlanRequest(
    FishLoad load,
    double waterLitres,
    double temperatureC,
    double riseC,
    double minutes,
    Gas gas,
    Diffuser diffuser,
    double depthM,
    OptionalDouble flowLPerMin,
    Optional<Cylinders> cylinders,
    double reserveBar,
    double responseMinutes,
    HandlingStress handling,
    Feeding feeding,
    double pressureKPa,
    double saltGPerKg,
    Optional<MeasuredRate> measuredRate) {

  /** Left in the cylinder where nothing is said, bar (<i>common practice</i>). */
  public static final double USUAL_RESERVE_BAR = 50.0;

  /**
   * To notice, stop and restore the gas where nothing is said, minutes (<i>common practice</i>).
   */
  public static final double USUAL_RESPONSE_MINUTES = 10.0;

  /** Water over the diffuser where nothing is said, m (<i>common practice</i>). */
  public static final double USUAL_DEPTH_M = 0.7;

  private static final String PLAN = "load plan";
  static final double LEAST_KG = 0.001;
  static final double MOST_KG = 1.0e6;
  private static final ValidRange KG = new ValidRange(PLAN, "load", LEAST_KG, MOST_KG, "kg");
  private static final ValidRange WATER = new ValidRange(PLAN, "water", 1.0, 1.0e6, "L");
  private static final ValidRange TEMPERATURE =
      new ValidRange(PLAN, "temperature", 0.0, 35.0, "°C");
  private static final ValidRange END_TEMPERATURE =
      new ValidRange(PLAN, "temperature at the end (temperature plus rise)", 0.0, 35.0, "°C");
  private static final ValidRange MINUTES = new ValidRange(PLAN, "minutes", 1.0, 4320.0, "min");
  private static final ValidRange DEPTH = new ValidRange(PLAN, "depth", 0.1, 5.0, "m");
  private static final ValidRange FLOW = new ValidRange(PLAN, "flow", 0.0, 10_000.0, "L/min");
  private static final ValidRange RESERVE = new ValidRange(PLAN, "reserve", 0.0, 300.0, "bar");
  private static final ValidRange RESPONSE =
      new ValidRange(PLAN, "response time", 0.0, 240.0, "min");
  private static final ValidRange PRESSURE =
      new ValidRange(PLAN, "air pressure", 60.0, 110.0, "kPa");
  private static final ValidRange SALT = new ValidRange(PLAN, "salt", 0.0, 40.0, "g/kg");

  /** What each figure may be, by the field's name in JSON. */
  private static final Map<String, ValidRange> LIMITS =
      Map.ofEntries(
          Map.entry("waterLitres", WATER),
          Map.entry("temperatureC", TEMPERATURE),
          Map.entry("minutes", MINUTES),
          Map.entry("depthM", DEPTH),
          Map.entry("flowLPerMin", FLOW),
          Map.entry("reserveBar", RESERVE),
          Map.entry("responseMinutes", RESPONSE),
          Map.entry("cylinder.waterLitres", Cylinders.WATER_VOLUME),
          Map.entry("cylinder.bar", Cylinders.BAR));

  /** What each figure may be, for whoever asks for one: by the field's name in JSON. */
  public static Map<String, ValidRange> limits() {
    return LIMITS;
  }

  public LoadPlanRequest {
    KG.require(load.kg());
    WATER.require(waterLitres);
    TEMPERATURE.require(temperatureC);
    END_TEMPERATURE.require(temperatureC + riseC);
    MINUTES.require(minutes);
    DEPTH.require(depthM);
    flowLPerMin.ifPresent(FLOW::require);
    RESERVE.require(reserveBar);
    RESPONSE.require(responseMinutes);
    PRESSURE.require(pressureKPa);
    SALT.require(saltGPerKg);
  }

  /**
   * Cylinders of one size that feed the tank one after the other.
   *
   * @param waterLitres water volume of each, L
   * @param bar what its gauge shows, bar at about 15 °C
   * @param count how many
   */
  public record Cylinders(double waterLitres, double bar, int count) {

    private static final ValidRange WATER_VOLUME =
        new ValidRange(PLAN, "cylinder water volume", 0.1, 1000.0, "L");
    private static final ValidRange BAR = new ValidRange(PLAN, "cylinder", 0.0, 300.0, "bar");

    public Cylinders {
      WATER_VOLUME.require(waterLitres);
      BAR.require(bar);
      if (count < 1) {
        throw new IllegalArgumentException("load plan: cylinders must be >= 1 but was " + count);
      }
    }

    /** One cylinder. */
    public static Cylinders one(double waterLitres, double bar) {
      return new Cylinders(waterLitres, bar, 1);
    }

    /** One more of the same. */
    Cylinders andOneMore() {
      return new Cylinders(waterLitres, bar, count + 1);
    }
  }

  /** What the whole load takes once settled, at a temperature, mg of oxygen per hour. */
  Band routineMgPerHour(double celsius) {
    Band curve = load.routineMgPerHour(celsius);
    return measuredRate
        .map(
            rate ->
                rate.mgPerKgPerHour()
                    .times(
                        load.kg()
                            * curve.likely()
                            / load.routineMgPerHour(rate.temperatureC()).likely()))
        .orElse(curve);
  }

  /** Temperature at the end, °C. */
  public double endTemperatureC() {
    return temperatureC + riseC;
  }

  /** The warmest that the water gets, °C. */
  public double warmestC() {
    return Math.max(temperatureC, endTemperatureC());
  }

  /** From loading to unloading, h. */
  public double hours() {
    return minutes / 60.0;
  }

  /** When the plan looks again: an hour after loading, or at the end of a shorter trip. */
  String laterInWords() {
    return minutes < 60.0 ? "at the end" : "after an hour";
  }

  /** A request for these fish in that much water; everything else as usual until it is said. */
  public static Builder of(FishLoad load, double waterLitres) {
    return new Builder(load, waterLitres);
  }

  /**
   * A request for a tank of the farm and the fish that are in it, with its own supply; the cylinder
   * is taken as full. Temperature and minutes are still to be said.
   *
   * @throws IllegalArgumentException if the tank holds no fish
   */
  public static Builder of(Tank tank) {
    FishLoad load =
        new FishLoad(
            tank.loads().stream()
                .map(
                    l ->
                        l.count().isPresent()
                            ? Batch.of(l.species(), l.kg(), l.count().getAsInt())
                            : Batch.ofKg(l.species(), l.kg()))
                .toList());
    Tank.Supply supply = tank.supply();
    Builder builder =
        of(load, tank.waterLitres())
            .supply(supply.gas(), supply.diffuser())
            .depthM(tank.depthM())
            .flowLPerMin(supply.flowLPerMin());
    supply
        .cylinder()
        .ifPresent(c -> builder.cylinders(Cylinders.one(c.waterLitres(), c.fullBar())));
    return builder;
  }

  /** The same request, to change one thing. */
  public Builder toBuilder() {
    Builder b = new Builder(load, waterLitres);
    b.temperatureC = temperatureC;
    b.riseC = riseC;
    b.minutes = minutes;
    b.gas = gas;
    b.diffuser = diffuser;
    b.depthM = depthM;
    b.flowLPerMin = flowLPerMin;
    b.cylinders = cylinders;
    b.reserveBar = reserveBar;
    b.responseMinutes = responseMinutes;
    b.handling = handling;
    b.feeding = feeding;
    b.pressureKPa = pressureKPa;
    b.saltGPerKg = saltGPerKg;
    b.measuredRate = measuredRate;
    return b;
  }

  /** Gathers a request; {@link #build()} checks it. One thread only. */
  public static final class Builder {

    private FishLoad load;
    private double waterLitres;
    private double temperatureC = 10.0;
    private double riseC;
    private double minutes = 60.0;
    private Gas gas = Gas.OXYGEN;
    private Diffuser diffuser = Diffuser.CERAMIC;
    private double depthM = USUAL_DEPTH_M;
    private OptionalDouble flowLPerMin = OptionalDouble.empty();
    private Optional<Cylinders> cylinders = Optional.empty();
    private double reserveBar = USUAL_RESERVE_BAR;
    private double responseMinutes = USUAL_RESPONSE_MINUTES;
    private HandlingStress handling = HandlingStress.CAREFUL;
    private Feeding feeding = Feeding.UNFED;
    private double pressureKPa = AirPressure.ONE_ATMOSPHERE_KPA;
    private double saltGPerKg;
    private Optional<MeasuredRate> measuredRate = Optional.empty();

    private Builder(FishLoad load, double waterLitres) {
      this.load = load;
      this.waterLitres = waterLitres;
    }

    /** Other fish. */
    public Builder load(FishLoad value) {
      load = value;
      return this;
    }

    /** Water in the tank, without the fish, L. */
    public Builder waterLitres(double value) {
      waterLitres = value;
      return this;
    }

    /** Water temperature at loading, °C. */
    public Builder temperatureC(double value) {
      temperatureC = value;
      return this;
    }

    /** By how much the water is expected to warm on the way, °C; 0 unless said. */
    public Builder riseC(double value) {
      riseC = value;
      return this;
    }

    /** From loading to unloading, minutes. */
    public Builder minutes(double value) {
      minutes = value;
      return this;
    }

    /** What is fed, and through what. */
    public Builder supply(Gas newGas, Diffuser newDiffuser) {
      gas = newGas;
      diffuser = newDiffuser;
      return this;
    }

    /** Water over the diffuser, m. */
    public Builder depthM(double value) {
      depthM = value;
      return this;
    }

    /** The flow that will be set, L/min at 15 °C; unless said, the plan's own. */
    public Builder flowLPerMin(double value) {
      flowLPerMin = OptionalDouble.of(value);
      return this;
    }

    /** Leave the flow to the plan. */
    public Builder flowAsPlanned() {
      flowLPerMin = OptionalDouble.empty();
      return this;
    }

    /** What the oxygen comes from. */
    public Builder cylinders(Cylinders value) {
      cylinders = Optional.of(value);
      return this;
    }

    /** What is to be left in each cylinder, bar gauge. */
    public Builder reserveBar(double value) {
      reserveBar = value;
      return this;
    }

    /** How long it takes to notice, stop and get gas flowing again, minutes. */
    public Builder responseMinutes(double value) {
      responseMinutes = value;
      return this;
    }

    /** How the fish were loaded. */
    public Builder handling(HandlingStress value) {
      handling = value;
      return this;
    }

    /** Whether they have food in them. */
    public Builder feeding(Feeding value) {
      feeding = value;
      return this;
    }

    /** Air pressure on the way, kPa absolute. */
    public Builder pressureKPa(double value) {
      pressureKPa = value;
      return this;
    }

    /** Salt in the water, g/kg; none unless said. */
    public Builder saltGPerKg(double value) {
      saltGPerKg = value;
      return this;
    }

    /** What fish like these were measured to breathe, in place of the published curve. */
    public Builder measuredRate(MeasuredRate value) {
      measuredRate = Optional.of(value);
      return this;
    }

    /**
     * The request.
     *
     * @throws IllegalArgumentException naming field, value and range, if one is outside
     */
    public LoadPlanRequest build() {
      return new LoadPlanRequest(
          load,
          waterLitres,
          temperatureC,
          riseC,
          minutes,
          gas,
          diffuser,
          depthM,
          flowLPerMin,
          cylinders,
          reserveBar,
          responseMinutes,
          handling,
          feeding,
          pressureKPa,
          saltGPerKg,
          measuredRate);
    }
  }
}
