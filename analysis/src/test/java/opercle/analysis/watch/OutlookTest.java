// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.OxygenDemand;
import opercle.analysis.water.BensonKrause1984;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvFileSource;

class OutlookTest {

  private static final Expected ANY = Expected.of(Tank.Kind.HOLDING, 0.5, 1.0, null);

  /** Down to 1.25 mg/L exactly; below, fish that take less as oxygen falls make it longer. */
  @ParameterizedTest(name = "{0}")
  @CsvFileSource(resources = "mass_balance_examples.csv", numLinesToSkip = 2)
  void fallMinutes_matchWorkedExamples(
      String id,
      String fish,
      double kg,
      double litres,
      double temperatureC,
      double c0,
      double critical,
      double demand,
      double kPerHour,
      double demandPerHour,
      String hours,
      String minutes) {
    double saturation = new BensonKrause1984().saturationMgPerL(temperatureC, 0.0, 101.325);
    double k = Math.max(1e-9, kPerHour / 60.0);
    double rate = demandPerHour / 60.0 - k * (saturation - c0);
    double got = Outlook.fallMinutes(c0, critical, rate, k);

    if (minutes.equals("never")) {
      assertThat(got).isEqualTo(Outlook.HORIZON_MINUTES);
    } else {
      double steady = Double.parseDouble(minutes);
      assertThat(got).isBetween(steady - 0.1, (critical < 1.25 ? 1.05 : 1.0) * steady + 0.1);
    }
  }

  @Test
  void fishThatRunOutOfOxygen_takeLess() {
    // From 2.5 to 1.25 mg/L at 0.1 (mg/L)/min, then in proportion: 12.5 + 12.5 ln 2 to half of it.
    assertThat(Outlook.fallMinutes(2.5, 0.625, 0.1, 1e-9))
        .isCloseTo(12.5 + 12.5 * Math.log(2.0), within(0.05));
  }

  @Test
  void levelOxygen_isHolding() {
    assertThat(Outlook.asTheTrendGoes(9.0, 2.5, 0.0, 0.001, ANY))
        .isInstanceOf(TimeInHand.Holding.class);
    assertThat(Outlook.asTheTrendGoes(9.0, 2.5, 0.3, 0.001, ANY))
        .isInstanceOf(TimeInHand.Holding.class);
    assertThat(Outlook.asTheTrendGoes(9.0, 2.5, -0.02, 0.02, ANY))
        .isInstanceOf(TimeInHand.Holding.class);
  }

  @Test
  void straightFall_reachesTheFloorWhenTheSlopeSays() {
    Band minutes =
        minutes(
            Outlook.asThingsGo(
                4.0, List.of(new Paths.Path(1e-6, 9.0, 0.0, 0.5, 0.0, 1.0)), 0.0, ANY));

    // 5 mg/L at 0.5 (mg/L)/min, give or take a tenth of the rate and of a mg/L.
    assertThat(minutes.likely()).isBetween(10.0, 10.7);
    assertThat(minutes.low()).isBetween(8.5, 9.5);
    assertThat(minutes.high()).isBetween(11.0, 12.5);
  }

  @Test
  void fallThatSettlesAboveTheFloor_isHolding() {
    Paths.Path settlesAt7 = new Paths.Path(0.1, 9.0, 0.0, 0.2, 0.01, 1.0);

    assertThat(Outlook.asThingsGo(4.0, List.of(settlesAt7), 0.0, ANY))
        .isInstanceOf(TimeInHand.Holding.class);
  }

  @Test
  void oxygenAtTheFloor_hasNoTimeLeft() {
    assertThat(Outlook.asTheTrendGoes(2.4, 2.5, 0.1, 0.01, ANY).likelyMinutes()).hasValue(0.0);
    assertThat(Outlook.ifGasStops(2.4, 2.5, 9.0, new Band(0.1, 0.2, 0.3), ANY).likelyMinutes())
        .hasValue(0.0);
  }

  @Test
  void gasStopping_bandIsWithinTheWorstAndTheBestOfEverything() {
    Band minutes = minutes(Outlook.ifGasStops(9.0, 3.0, 10.0, new Band(0.1, 0.2, 0.3), ANY));

    assertThat(minutes.low()).isBetween(20.0, 25.0);
    assertThat(minutes.likely()).isBetween(30.0, 36.0);
    assertThat(minutes.high()).isBetween(45.0, 90.0);
  }

  /** One load in ten takes half as much again: the low bound is under that of quiet fish alone. */
  @Test
  void gasStopping_lowBoundAllowsForAMeal() {
    Band demand = new Band(0.15, 0.2, 0.27);
    Band minutes = minutes(Outlook.ifGasStops(9.0, 3.0, 10.0, demand, ANY));
    double hungry = 0.2 * Math.pow(0.27 / 0.2, 1.2816 / OxygenDemand.ENDS_SD);
    double surface = 0.122 / 60.0;

    assertThat(minutes.low())
        .isLessThan(Outlook.fallMinutes(9.0, 3.0, hungry - surface, surface))
        .isGreaterThan(Outlook.fallMinutes(9.0, 3.0, 1.5 * hungry - surface, surface));
  }

  @Test
  void measuredDemand_makesTheBandNarrower() {
    Band books = minutes(Outlook.ifGasStops(9.0, 3.0, 10.0, new Band(0.1, 0.2, 0.4), ANY));
    Band measured = minutes(Outlook.ifGasStops(9.0, 3.0, 10.0, new Band(0.16, 0.2, 0.25), ANY));

    assertThat(measured.high() / measured.low()).isLessThan(0.7 * books.high() / books.low());
  }

  @Test
  void lightLoad_isHeldByTheSurface() {
    assertThat(Outlook.ifGasStops(9.0, 2.5, 10.0, new Band(0.001, 0.002, 0.004), ANY))
        .isInstanceOf(TimeInHand.Holding.class);
  }

  /** A fall at the books' demand is the lost supply; one at a quarter of it has some gas left. */
  @Test
  void whollyLost_isLikelier_whereAFallGoesAtTheDemand() {
    Expected known = Expected.of(Tank.Kind.TRANSPORT, 0.75, 3.0, new Band(0.15, 0.2, 0.28));

    assertThat(Outlook.whollyLost(List.of(falling(0.2)), known)).isGreaterThan(0.85);
    assertThat(Outlook.whollyLost(List.of(falling(0.05)), known)).isLessThan(0.1);
  }

  private static Paths.Path falling(double perMinute) {
    return new Paths.Path(0.002, 9.0, 0.0, perMinute, 0.01, 1.0);
  }

  @Test
  void between_twoTimes_isByTheShareOfTheSecond() {
    TimeInHand first = new TimeInHand.Minutes(new Band(10.0, 30.0, 60.0));
    TimeInHand second = new TimeInHand.Minutes(new Band(40.0, 50.0, 60.0));

    assertThat(minutes(Outlook.between(first, second, 0.0))).isEqualTo(minutes(first));
    assertThat(minutes(Outlook.between(first, second, 1.0))).isEqualTo(minutes(second));
    assertThat(minutes(Outlook.between(first, second, 0.5)).low())
        .isCloseTo(20.0, within(1e-9)); // the geometric mean
    assertThat(Outlook.between(first, new TimeInHand.Holding(), 0.9)).isEqualTo(first);
  }

  @Test
  void shorter_takesTheShorterAtEachBound() {
    TimeInHand one = new TimeInHand.Minutes(new Band(5.0, 20.0, 30.0));
    TimeInHand other = new TimeInHand.Minutes(new Band(8.0, 10.0, 60.0));

    assertThat(Outlook.shorter(one, other))
        .isEqualTo(new TimeInHand.Minutes(new Band(5.0, 10.0, 30.0)));
    assertThat(Outlook.shorter(new TimeInHand.Holding(), other)).isEqualTo(other);
  }

  private static Band minutes(TimeInHand time) {
    return ((TimeInHand.Minutes) time).minutes();
  }
}
