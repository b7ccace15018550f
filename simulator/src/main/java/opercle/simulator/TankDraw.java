// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.simulator.physics.Chance;
import opercle.simulator.physics.Respiration;

/**
 * Draws tanks of the trade: holding tanks on air at 40–140 kg per 1000 L, transport tanks on oxygen
 * at 200–550 (published densities 0.17–0.5 kg per litre of water for hauling; science notes), with
 * a flow set for the load.
 */
final class TankDraw {

  private record Stock(Species species, double leastKg, double mostKg, double warmestC) {}

  private static final List<Stock> STOCKS =
      List.of(
          new Stock(Species.COMMON_CARP, 0.8, 6.0, 18.0),
          new Stock(Species.COMMON_CARP, 0.8, 6.0, 18.0),
          new Stock(Species.TENCH, 0.4, 2.0, 18.0),
          new Stock(Species.CRUCIAN_CARP, 0.3, 1.2, 18.0),
          new Stock(Species.BREAM, 0.5, 2.5, 14.0),
          new Stock(Species.ROACH, 0.1, 0.5, 14.0),
          new Stock(Species.PIKE, 1.5, 6.0, 16.0),
          new Stock(Species.PERCH, 0.15, 0.6, 18.0),
          new Stock(Species.RAINBOW_TROUT, 0.4, 1.5, 13.0),
          new Stock(Species.BROWN_TROUT, 0.3, 1.2, 13.0));

  /** Water volumes of single cylinders and, from 100 L, of several together, L. */
  private static final List<Double> CYLINDER_LITRES =
      List.of(10.0, 20.0, 50.0, 100.0, 200.0, 400.0);

  /** Runs start with at least 65 % of 200 bar. */
  private static final double LEAST_START_BAR = 130.0;

  private TankDraw() {}

  /** A tank and the temperature of its water, °C. */
  record Drawn(Tank tank, double temperatureC) {}

  static Drawn draw(String id, Tank.Kind kind, Chance chance) {
    boolean holding = kind == Tank.Kind.HOLDING;
    Stock stock = STOCKS.get(chance.below(STOCKS.size()));
    double celsius = chance.between(5.0, stock.warmestC());
    double litres =
        Math.rint(holding ? chance.logBetween(600.0, 3000.0) : chance.logBetween(350.0, 1000.0));
    double kgPerLitre = holding ? chance.between(0.04, 0.14) : chance.between(0.2, 0.55);
    // Cold-water fish that breathe a lot are held thinner.
    double meanKg = chance.logBetween(stock.leastKg(), stock.mostKg());
    double rate = Respiration.of(stock.species()).mgPerKgPerHour(1000.0 * meanKg, celsius);
    double most = (holding ? 7000.0 : 40_000.0) / rate; // mg/L/h over mg/kg/h is kg per 1000 L
    double kg = Math.rint(Math.min(kgPerLitre * litres, most * litres / 1000.0));
    double depthM = holding ? chance.between(0.6, 1.2) : chance.between(0.5, 0.8);
    double gramsPerHour = kg * rate / 1000.0;
    Tank.Load load =
        new Tank.Load(
            stock.species(),
            kg,
            OptionalInt.of((int) Math.max(1L, Math.round(kg / meanKg))),
            Optional.empty());
    Tank tank =
        new Tank(
            id,
            (holding ? "Holding " : "Transport ") + id,
            kind,
            litres,
            depthM,
            supply(holding, gramsPerHour, depthM, chance),
            List.of(load),
            Optional.empty());
    return new Drawn(tank, celsius);
  }

  /** A flow that about feeds the load; the simulated diffuser is then tuned to it. */
  private static Tank.Supply supply(
      boolean holding, double gramsPerHour, double depthM, Chance chance) {
    if (holding) {
      Tank.Diffuser diffuser =
          chance.happens(0.6) ? Tank.Diffuser.POROUS_HOSE : Tank.Diffuser.AIR_STONE;
      double perGram = diffuser == Tank.Diffuser.POROUS_HOSE ? 6.5 : 10.0; // L/min per g/h at 0.8 m
      double flow = Math.max(4.0, Math.rint(gramsPerHour * perGram * 0.8 / depthM));
      return new Tank.Supply(Tank.Gas.AIR, Tank.Source.BLOWER, diffuser, flow, Optional.empty());
    }
    boolean ceramic = chance.happens(0.7);
    double perGram = ceramic ? 0.12 : 0.55;
    double flow = Math.max(0.3, Math.rint(10.0 * gramsPerHour * perGram * 0.7 / depthM) / 10.0);
    double thirtyHoursLitres = flow * 60.0 * 30.0;
    double cylinderLitres =
        CYLINDER_LITRES.stream()
            .filter(litres -> litres * LEAST_START_BAR >= thirtyHoursLitres)
            .findFirst()
            .orElse(CYLINDER_LITRES.get(CYLINDER_LITRES.size() - 1));
    return new Tank.Supply(
        Tank.Gas.OXYGEN,
        Tank.Source.CYLINDER,
        ceramic ? Tank.Diffuser.CERAMIC : Tank.Diffuser.POROUS_HOSE,
        flow,
        Optional.of(new Tank.Cylinder(cylinderLitres, 200.0)));
  }

  /** Two neighbours on the same blower, for nights in which it is the blower. */
  static List<Tank> neighbours(Chance chance) {
    List<Tank> tanks = new ArrayList<>();
    for (String id : List.of("n2", "n3")) {
      tanks.add(draw(id, Tank.Kind.HOLDING, chance).tank());
    }
    return tanks;
  }
}
