// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvFileSource;

class OutlookTest {

  private static final Expected ANY = Expected.of(Tank.Kind.HOLDING, 0.5, 1.0, null);

  @ParameterizedTest(name = "{0}")
  @CsvFileSource(resources = "mass_balance_examples.csv", numLinesToSkip = 2)
  void minutes_matchWorkedExamples(
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
    double saturation = saturation(temperatureC);
    double got = Outlook.minutes(c0, critical, saturation, demandPerHour / 60.0, kPerHour / 60.0);

    if (minutes.equals("never")) {
      assertThat(got).isEqualTo(Outlook.HORIZON_MINUTES);
    } else {
      assertThat(got).isCloseTo(Double.parseDouble(minutes), within(0.1));
    }
  }

  private static double saturation(double temperatureC) {
    return new opercle.analysis.water.BensonKrause1984()
        .saturationMgPerL(temperatureC, 0.0, 101.325);
  }

  /** The worked examples again, by the integral, at a demand that does not depend on oxygen. */
  @ParameterizedTest(name = "{0}")
  @CsvFileSource(resources = "mass_balance_examples.csv", numLinesToSkip = 2)
  void fallMinutes_areNearWorkedExamples_andNeverShorter(
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
    double k = kPerHour / 60.0;
    double rate = demandPerHour / 60.0 - k * (saturation(temperatureC) - c0);
    double got = Outlook.fallMinutes(c0, critical, rate, k);

    if (minutes.equals("never")) {
      assertThat(got).isEqualTo(Outlook.HORIZON_MINUTES);
    } else {
      // Fish that take less as oxygen falls: at 3 mg/L five sixths, at 1 mg/L five eighths.
      double steady = Double.parseDouble(minutes);
      assertThat(got).isBetween(steady, 1.25 * steady);
    }
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
    assertThat(minutes.high()).isBetween(55.0, 90.0);
  }

  @Test
  void measuredDemand_makesTheBandNarrower() {
    Band books = minutes(Outlook.ifGasStops(9.0, 3.0, 10.0, new Band(0.1, 0.2, 0.4), ANY));
    Band measured = minutes(Outlook.ifGasStops(9.0, 3.0, 10.0, new Band(0.16, 0.2, 0.25), ANY));

    assertThat(measured.high() / measured.low()).isLessThan(0.5 * books.high() / books.low());
  }

  @Test
  void lightLoad_isHeldByTheSurface() {
    assertThat(Outlook.ifGasStops(9.0, 2.5, 10.0, new Band(0.001, 0.002, 0.004), ANY))
        .isInstanceOf(TimeInHand.Holding.class);
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
