// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import opercle.analysis.Band;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvFileSource;

class OutlookTest {

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

  @Test
  void levelOxygen_isHolding() {
    assertThat(Outlook.asThingsGo(9.0, 2.5, 0.0, 0.001, 0.0, false))
        .isInstanceOf(TimeInHand.Holding.class);
    assertThat(Outlook.asThingsGo(9.0, 2.5, 0.3, 0.001, 0.0, false))
        .isInstanceOf(TimeInHand.Holding.class);
    assertThat(Outlook.asThingsGo(9.0, 2.5, -0.02, 0.02, 0.0, false))
        .isInstanceOf(TimeInHand.Holding.class);
  }

  @Test
  void fallingOxygen_reachesTheFloorWhenTheSlopeSays() {
    TimeInHand time = Outlook.asThingsGo(9.0, 4.0, -0.5, 0.05, 0.0, false);

    Band minutes = ((TimeInHand.Minutes) time).minutes();
    assertThat(minutes.likely()).isBetween(10.0, 10.3);
    assertThat(minutes.low()).isBetween(8.5, 9.0);
    assertThat(minutes.high()).isBetween(11.0, 12.4);
  }

  @Test
  void oxygenAtTheFloor_hasNoTimeLeft() {
    assertThat(Outlook.asThingsGo(2.4, 2.5, 0.1, 0.01, 0.0, false).likelyMinutes()).hasValue(0.0);
    assertThat(Outlook.ifGasStops(2.4, 2.5, 9.0, new Band(0.1, 0.2, 0.3)).likelyMinutes())
        .hasValue(0.0);
  }

  @Test
  void gasStopping_lowBoundIsTheClosedTankAtTheHighestDemand() {
    Band minutes =
        ((TimeInHand.Minutes) Outlook.ifGasStops(9.0, 3.0, 10.0, new Band(0.1, 0.2, 0.3)))
            .minutes();

    assertThat(minutes.low()).isCloseTo(20.0, within(1e-9));
    assertThat(minutes.likely()).isBetween(30.0, 33.0);
    assertThat(minutes.high()).isBetween(60.0, 90.0);
  }

  @Test
  void lightLoad_isHeldByTheSurface() {
    assertThat(Outlook.ifGasStops(9.0, 2.5, 10.0, new Band(0.001, 0.002, 0.004)))
        .isInstanceOf(TimeInHand.Holding.class);
  }
}
