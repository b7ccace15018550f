// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import opercle.analysis.farm.Tank;
import opercle.analysis.water.AirPressure;
import opercle.analysis.water.BensonKrause1984;
import opercle.analysis.water.OxygenSolubility;

/**
 * One tank: water, fish, gas line, supply, heat. Steps of at most one second. One thread only.
 *
 * <p>Keeps a ledger of every milligram of oxygen, so that conservation can be checked from outside.
 */
public final class TankPhysics {

  private static final OxygenSolubility SOLUBILITY = new BensonKrause1984();
  private static final double REFRESH_SECONDS = 20.0;
  private static final double KPA_PER_METRE = 9.81;

  /** Water neither freezes nor gets warmer than the rates were measured for, °C. */
  private static final double LEAST_C = 0.5;

  private static final double MOST_C = 30.0;

  /** What a surface exchanges that no plume stirs, against one that the set flow stirs. */
  private static final double STILL_SURFACE = 0.6;

  /** Oxygen at which bacteria take half of what they would, mg/L. Construction. */
  private static final double BACTERIA_HALF_MG_PER_L = 0.5;

  /** How long a parcel of richer or poorer water takes past a probe, s. Construction. */
  private static final double EDDY_SECONDS = 15.0;

  /** Strength of eddies: share of the difference across the tank, and of the level itself. */
  private static final double EDDY_OF_DIFFERENCE = 0.35;

  private static final double EDDY_OF_LEVEL = 0.001;

  private final Tank tank;
  private final TankTraits traits;
  private final BubbleTransfer bubbles;
  private final TankWater water;
  private final Fish fish;
  private final GasLine line;
  private final TankSupply supply;
  private final Wander surfaceWander;
  private final Wander transferWander;
  private final Wander crowding;
  private final Wander[] eddies = new Wander[2];
  private final OxygenLedger ledger = new OxygenLedger();

  private double temperatureC;
  private double surfaceFactor = 1.0;
  private double transferQuality = 1.0;
  private double cornerMixing = 1.0;
  private double bacteriaFactor = 1.0;

  private double sinceRefresh = Double.POSITIVE_INFINITY;
  private double airSaturation;
  private double gasSaturation;
  private double temperatureFactor;
  private double bacteriaMgPerLPerS;

  /**
   * A tank as described, settled near its steady state.
   *
   * @param tank its description
   * @param weather the air over it now
   * @param traits what the description leaves open
   * @param seed draws diffuser, fish and wander
   */
  public TankPhysics(Tank tank, Weather weather, TankTraits traits, long seed) {
    this(tank, weather, traits, new Fish(tank.loads(), Chance.of(seed, "fish")), seed);
    if (!fish.isEmpty()) {
      settleAtTheKeepersLevel(Chance.of(seed, "wanted"));
    }
  }

  /** A tank with fish of one's own choice, in air-saturated water. */
  TankPhysics(Tank tank, Weather weather, TankTraits traits, Fish fish, long seed) {
    this.tank = tank;
    this.fish = fish;
    this.traits = traits;
    bubbles = new BubbleTransfer(tank.supply(), tank.depthM(), Chance.of(seed, "diffuser"));
    line = new GasLine(tank.supply(), tank.depthM());
    temperatureC = traits.startC();
    supply = TankSupply.of(tank.supply(), traits, weather.outdoorC());
    surfaceWander = new Wander(traits.wander() * 1.5, 1200.0, Chance.of(seed, "surface"));
    transferWander = new Wander(traits.wander(), 1800.0, Chance.of(seed, "transfer"));
    crowding = new Wander(0.12, 600.0, Chance.of(seed, "crowding"));
    for (int i = 0; i < eddies.length; i++) {
      eddies[i] = new Wander(1.0, EDDY_SECONDS, Chance.of(seed, "eddies/" + i));
    }
    water =
        new TankWater(
            tank.waterLitres(),
            saturationAgainstAir(weather),
            traits.plumeTurnSeconds(),
            traits.fishTurnSeconds());
    refresh(weather);
  }

  /** Starts at the level that the keeper set the flow for, as far as this diffuser can hold it. */
  private void settleAtTheKeepersLevel(Chance chance) {
    double wanted =
        tank.supply().gas() == Tank.Gas.OXYGEN
            ? chance.between(10.0, 12.5)
            : Math.max(
                airSaturation * chance.between(0.73, 0.85),
                Math.min(0.92 * airSaturation, tank.floorsInForce().keepMgPerL() + 0.8));
    double surfacePerS = traits.surfacePerHour() / 3600.0;
    double used =
        fish.routineMgPerMin(temperatureC) / 60.0
            + water.litres() * (bacteriaMgPerLPerS + surfacePerS * (wanted - airSaturation));
    bubbles.tuneTo(used, wanted, temperatureFactor, gasSaturation);
    water.exchange(1.0, wanted);
  }

  private TankPhysics(TankPhysics o) {
    tank = o.tank;
    traits = o.traits;
    bubbles = o.bubbles;
    water = o.water.copy();
    fish = o.fish.copy();
    line = o.line.copy();
    supply = o.supply.copy();
    surfaceWander = o.surfaceWander.copy();
    transferWander = o.transferWander.copy();
    crowding = o.crowding.copy();
    for (int i = 0; i < eddies.length; i++) {
      eddies[i] = o.eddies[i].copy();
    }
    temperatureC = o.temperatureC;
    surfaceFactor = o.surfaceFactor;
    transferQuality = o.transferQuality;
    cornerMixing = o.cornerMixing;
    bacteriaFactor = o.bacteriaFactor;
    sinceRefresh = o.sinceRefresh;
    airSaturation = o.airSaturation;
    gasSaturation = o.gasSaturation;
    temperatureFactor = o.temperatureFactor;
    bacteriaMgPerLPerS = o.bacteriaMgPerLPerS;
  }

  /** The same tank from here on, to see what would become of it; the ledger starts afresh. */
  public TankPhysics copy() {
    return new TankPhysics(this);
  }

  /** The description it was built from. */
  public Tank tank() {
    return tank;
  }

  /** Its fish. */
  public Fish fish() {
    return fish;
  }

  /** Its gas line. */
  public GasLine line() {
    return line;
  }

  /** Its supply. */
  public TankSupply supply() {
    return supply;
  }

  /** Where the oxygen went since it was built. */
  public OxygenLedger ledger() {
    return ledger;
  }

  /** Water temperature, °C. */
  public double temperatureC() {
    return temperatureC;
  }

  /** Oxygen of the whole tank, mg/L. */
  public double meanOxygenMgPerL() {
    return water.meanMgPerL();
  }

  /** All the oxygen in the water, mg. */
  public double oxygenMg() {
    return water.massMg();
  }

  /**
   * Oxygen where a probe hangs, mg/L.
   *
   * @param place 0 in the bulk of the tank, 1 in the far corner, 2 over the diffuser
   */
  public double oxygenAt(int place) {
    return switch (place) {
      case 0 -> water.oxygenOf(TankWater.BULK);
      case 1 -> water.oxygenOf(TankWater.CORNER);
      default -> water.oxygenOf(TankWater.PLUME);
    };
  }

  /**
   * Oxygen of the parcel of water that is passing a probe, mg/L: its zone's, more or less an eddy.
   *
   * @param place 0 in the bulk of the tank, 1 in the far corner
   */
  public double oxygenPassing(int place) {
    double across = water.oxygenOf(TankWater.PLUME) - water.oxygenOf(TankWater.CORNER);
    double level = oxygenAt(place);
    double sd = EDDY_OF_DIFFERENCE * Math.abs(across) + EDDY_OF_LEVEL * level;
    return Math.max(0.0, level + sd * eddies[place].value());
  }

  /** Saturation against air at this temperature and pressure, mg/L. */
  public double airSaturationMgPerL() {
    return airSaturation;
  }

  /** Sets all water to one level; for a run that starts from a known state. */
  public void setOxygen(double mgPerL) {
    ledger.exchangedMg += water.exchange(1.0, mgPerL);
  }

  /** Surface exchange against its ordinary strength: an open lid, a rough road. */
  public void setSurfaceFactor(double factor) {
    surfaceFactor = factor;
  }

  /**
   * Transfer of the diffuser against its ordinary quality: coarse bubbles, a diffuser blown off.
   */
  public void setTransferQuality(double quality) {
    transferQuality = quality;
  }

  /** How much of the stirring reaches the far corner, 1 as ordinary, 0 a dead corner. */
  public void setCornerMixing(double share) {
    cornerMixing = share;
  }

  /** Bacterial demand against its ordinary strength. */
  public void setBacteriaFactor(double factor) {
    bacteriaFactor = factor;
  }

  /** Replaces a share of the water by water saturated at one atmosphere, at least 0.5 °C warm. */
  public void changeWater(double share, double wantedC) {
    double freshC = Math.max(LEAST_C, wantedC);
    double fresh =
        SOLUBILITY.saturationMgPerL(
            freshC, traits.salinityGPerKg(), AirPressure.ONE_ATMOSPHERE_KPA);
    ledger.exchangedMg += water.exchange(share, fresh);
    temperatureC += share * (freshC - temperatureC);
    sinceRefresh = Double.POSITIVE_INFINITY;
  }

  /**
   * Time goes on.
   *
   * @param seconds at most 1 s
   * @param weather the air now
   * @param blowerShare the blower's pressure against its set pressure; ignored by a cylinder
   */
  public void step(double seconds, Weather weather, double blowerShare) {
    sinceRefresh += seconds;
    if (sinceRefresh >= REFRESH_SECONDS) {
      refresh(weather);
    }
    line.step(seconds, supply.pressureBar(line.setPressureBar(), blowerShare));
    supply.draw(line.meterLPerMin() * seconds / 60.0);

    for (Wander eddy : eddies) {
      eddy.step(seconds);
    }
    double flow = line.diffuserLPerMin();
    double stirring = flow > 0.0 ? Math.cbrt(flow / line.setLPerMin()) : 0.0;
    water.mix(seconds, stirring, cornerMixing);
    ledger.absorbedMg +=
        water.add(
            TankWater.PLUME,
            seconds
                * bubbles.mgPerSecond(
                    flow,
                    transferQuality * (1.0 + transferWander.value()),
                    water.oxygenOf(TankWater.PLUME),
                    temperatureFactor,
                    gasSaturation));
    breatheAndExchange(seconds, stirring, weather.hourOfDay());
  }

  private void breatheAndExchange(double seconds, double stirring, double hourOfDay) {
    double demandMg = fish.demandMgPerMin(temperatureC, hourOfDay) * seconds / 60.0;
    double surfacePerS =
        traits.surfacePerHour()
            / 3600.0
            * surfaceFactor
            * (STILL_SURFACE + (1.0 - STILL_SURFACE) * stirring)
            * Math.max(0.1, 1.0 + surfaceWander.value());
    for (int zone = 0; zone < 3; zone++) {
      double c = water.oxygenOf(zone);
      double litres = water.litresOf(zone);
      ledger.surfaceMg += water.add(zone, seconds * surfacePerS * litres * (airSaturation - c));
      double breathed = -demandMg * shareOfFishIn(zone) * fish.shareMetAt(c);
      double rotted = -seconds * bacteriaMgPerLPerS * litres * c / (c + BACTERIA_HALF_MG_PER_L);
      ledger.breathedMg -= water.add(zone, breathed);
      ledger.bacteriaMg -= water.add(zone, rotted);
    }
  }

  /** Fish spread as the water does, but that some keep moving between bulk and corner. */
  private double shareOfFishIn(int zone) {
    double moved = 0.5 * Math.max(-0.3, Math.min(0.3, crowding.value()));
    double even = water.litresOf(zone) / water.litres();
    return switch (zone) {
      case TankWater.CORNER -> even + moved;
      case TankWater.BULK -> even - moved;
      default -> even;
    };
  }

  /** What changes slowly, every twenty seconds. */
  private void refresh(Weather weather) {
    double elapsed = Double.isInfinite(sinceRefresh) ? 0.0 : sinceRefresh;
    sinceRefresh = 0.0;
    if (elapsed > 0.0) {
      surfaceWander.step(elapsed);
      transferWander.step(elapsed);
      crowding.step(elapsed);
      fish.step(elapsed);
      double surroundings = tank.kind() == Tank.Kind.HOLDING ? weather.shedC() : weather.outdoorC();
      double towards = surroundings + traits.warmerThanAirC();
      temperatureC += (towards - temperatureC) * elapsed / (traits.heatHours() * 3600.0);
      temperatureC = Math.max(LEAST_C, Math.min(MOST_C, temperatureC));
      supply.setAmbientC(weather.outdoorC());
    }
    airSaturation = saturationAgainstAir(weather);
    double plumeKPa = weather.pressureKPa() + KPA_PER_METRE * tank.depthM() / 2.0;
    gasSaturation =
        bubbles.gasSaturationMgPerL(
            SOLUBILITY.saturationMgPerL(
                temperatureC, traits.salinityGPerKg(), Math.min(111.0, plumeKPa)));
    temperatureFactor = Math.pow(1.024, temperatureC - 20.0);
    bacteriaMgPerLPerS =
        traits.bacteriaMgPerLPerHour()
            * bacteriaFactor
            / 3600.0
            * Math.pow(2.0, (temperatureC - 15.0) / 10.0);
  }

  private double saturationAgainstAir(Weather weather) {
    return SOLUBILITY.saturationMgPerL(
        temperatureC, traits.salinityGPerKg(), weather.pressureKPa());
  }
}
