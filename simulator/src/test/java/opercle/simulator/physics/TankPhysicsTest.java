// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.analysis.water.BensonKrause1984;
import org.junit.jupiter.api.Test;

class TankPhysicsTest {

  private static final Instant START = Instant.parse("2026-03-14T20:00:00Z");

  private static Tank tank(double litres, Tank.Gas gas, List<Tank.Load> loads) {
    return new Tank(
        "x1",
        "Test tank",
        Tank.Kind.HOLDING,
        litres,
        0.8,
        new Tank.Supply(
            gas,
            gas == Tank.Gas.AIR ? Tank.Source.BLOWER : Tank.Source.CYLINDER,
            Tank.Diffuser.POROUS_HOSE,
            40.0,
            Optional.empty()),
        loads,
        Optional.empty());
  }

  /** No wander, no bacteria, well mixed by fish, water that keeps its temperature. */
  private static TankTraits textbook(double celsius, double surfacePerHour) {
    return new TankTraits(celsius, 0.0, surfacePerHour, 0.0, 60.0, 5.0, 1e9, 0.0, 0.0, 150.0);
  }

  private static Weather weather() {
    return new Weather(START, 0.0, new Chance(1));
  }

  /**
   * Closed tanks with the gas off, worked by hand: minutes until the critical level. A fish that
   * gets less when there is less, wander and unmixed water are switched off; what is left must be
   * the textbook's equation.
   */
  @Test
  void gasOff_wellMixed_reachesTheFloorWhenTheWorkedExamplesSay() {
    List<List<String>> rows = Reference.rows("mass_balance_examples.csv");
    assertThat(rows).hasSize(12);

    for (List<String> row : rows) {
      double kg = Double.parseDouble(row.get(2));
      double litres = Double.parseDouble(row.get(3));
      double celsius = Double.parseDouble(row.get(4));
      double start = Double.parseDouble(row.get(5));
      double floor = Double.parseDouble(row.get(6));
      double rate = Double.parseDouble(row.get(7));
      double kla = Double.parseDouble(row.get(8));
      // A surface that no plume stirs exchanges six tenths of its ordinary rate.
      TankPhysics tank =
          new TankPhysics(
              tank(litres, Tank.Gas.AIR, List.of()),
              weather(),
              textbook(celsius, kla / 0.6),
              Fish.steady(kg, rate),
              7L);
      tank.line().turnValve(0.0);
      Weather calm = weather();
      for (int s = 0; s < 60; s++) { // the last of the pressure leaves the hose
        tank.step(1.0, calm, 0.0);
      }
      tank.setOxygen(start);

      double minutes = minutesTo(floor, tank, calm);

      if (row.get(11).equals("never")) {
        assertThat(minutes).as(row.get(0)).isNaN();
      } else {
        // Within 0.7 %: weather moves saturation a little where the surface takes part.
        double expected = Double.parseDouble(row.get(11));
        assertThat(minutes).as(row.get(0)).isCloseTo(expected, within(0.007 * expected + 0.1));
      }
    }
  }

  private static double minutesTo(double floor, TankPhysics tank, Weather weather) {
    for (int s = 1; s <= 24 * 3600; s++) {
      tank.step(1.0, weather, 0.0);
      if (tank.meanOxygenMgPerL() <= floor) {
        return s / 60.0;
      }
    }
    return Double.NaN;
  }

  @Test
  void emptyTank_onAir_settlesBetweenSurfaceAndPlumeSaturation() {
    TankPhysics tank =
        new TankPhysics(tank(1500.0, Tank.Gas.AIR, List.of()), weather(), textbook(12.0, 0.2), 7L);
    Weather weather = weather();
    tank.setOxygen(2.0);

    for (int s = 0; s < 24 * 3600; s++) {
      tank.step(1.0, weather, 1.0);
    }

    double atSurface = new BensonKrause1984().saturationMgPerL(12.0, 0.0, weather.pressureKPa());
    double inPlume =
        new BensonKrause1984().saturationMgPerL(12.0, 0.0, weather.pressureKPa() + 9.81 * 0.4);
    assertThat(tank.meanOxygenMgPerL()).isBetween(atSurface - 0.02, inPlume + 0.02);
  }

  @Test
  void supersaturatedTank_gasOff_degassesByTheExponential() {
    TankPhysics tank =
        new TankPhysics(tank(1000.0, Tank.Gas.AIR, List.of()), weather(), textbook(10.0, 0.5), 7L);
    Weather weather = weather();
    tank.line().turnValve(0.0);
    for (int s = 0; s < 60; s++) {
      tank.step(1.0, weather, 0.0);
    }
    tank.setOxygen(20.0);

    for (int s = 0; s < 2 * 3600; s++) {
      tank.step(1.0, weather, 0.0);
    }

    double saturation = new BensonKrause1984().saturationMgPerL(10.0, 0.0, weather.pressureKPa());
    double expected = saturation + (20.0 - saturation) * Math.exp(-0.6 * 0.5 * 2.0);
    assertThat(tank.meanOxygenMgPerL()).isCloseTo(expected, within(0.05));
  }

  @Test
  void anyRun_oxygenIsConserved() {
    for (Tank.Gas gas : Tank.Gas.values()) {
      Tank.Load load =
          new Tank.Load(Species.COMMON_CARP, 180.0, OptionalInt.of(90), Optional.empty());
      Weather weather = weather();
      Tank described = tank(1500.0, gas, List.of(load));
      TankTraits traits = TankTraits.draw(described, weather, new Chance(3));
      TankPhysics tank = new TankPhysics(described, weather, traits, 11L);
      double before = tank.oxygenMg();

      for (int s = 0; s < 6 * 3600; s++) {
        weather.step(1.0);
        if (s == 7200) {
          tank.changeWater(0.3, 9.0);
          tank.fish().stress(3.0, 1.0);
        }
        if (s == 10_000) {
          tank.line().turnValve(0.0);
        }
        tank.step(1.0, weather, 1.0);
      }

      double changed = tank.oxygenMg() - before;
      assertThat(tank.ledger().breathedMg()).isPositive();
      assertThat(changed).isCloseTo(tank.ledger().netMg(), within(1e-6 * before));
    }
  }

  @Test
  void copy_runAhead_livesThroughWhatTheTankItselfWill() {
    Tank.Load load =
        new Tank.Load(Species.COMMON_CARP, 180.0, OptionalInt.of(90), Optional.empty());
    Weather weather = weather();
    Tank described = tank(1500.0, Tank.Gas.AIR, List.of(load));
    TankTraits traits = TankTraits.draw(described, weather, new Chance(3));
    TankPhysics tank = new TankPhysics(described, weather, traits, 11L);
    TankPhysics ahead = tank.copy();
    Weather weatherAhead = weather.copy();

    for (int s = 0; s < 3600; s++) {
      weatherAhead.step(1.0);
      ahead.step(1.0, weatherAhead, 1.0);
    }
    for (int s = 0; s < 3600; s++) {
      weather.step(1.0);
      tank.step(1.0, weather, 1.0);
    }

    assertThat(ahead.meanOxygenMgPerL()).isEqualTo(tank.meanOxygenMgPerL());
  }
}
