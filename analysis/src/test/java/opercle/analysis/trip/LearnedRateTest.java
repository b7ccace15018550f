// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import opercle.analysis.Band;
import opercle.analysis.plan.LoadPlan;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.plan.MeasuredRate;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.OxygenDemand;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

class LearnedRateTest {

  private static PastDemand past(double celsius, double rate, MeasuredDemand.Way way) {
    return new PastDemand(
        "trip",
        MadeTrip.START,
        Species.TENCH,
        0.8,
        celsius,
        way,
        new Band(0.9 * rate, rate, 1.15 * rate));
  }

  @Test
  void fewTrips_areTakenWithTheirOwnBandsWidened() {
    MeasuredRate rate =
        LearnedRate.of(
                List.of(past(12.0, 40.0, MeasuredDemand.Way.GAS_OFF)), Species.TENCH, 0.8, 12.0)
            .orElseThrow();

    assertThat(rate.trips()).isEqualTo(1);
    assertThat(rate.mgPerKgPerHour().likely()).isCloseTo(40.0, within(1e-9));
    assertThat(rate.mgPerKgPerHour().low()).isCloseTo(40.0 * Math.pow(0.9, 1.5), within(1e-9));
    assertThat(rate.mgPerKgPerHour().high()).isCloseTo(40.0 * Math.pow(1.15, 1.5), within(1e-9));
  }

  /** Cold fish in water that the surface may feed: the stretch's own low end is nothing. */
  @Test
  void rateWhoseLowEndIsNothing_staysWithinWhatFishBreathe() {
    PastDemand winter =
        new PastDemand(
            "winter",
            MadeTrip.START,
            Species.TENCH,
            0.8,
            6.0,
            MeasuredDemand.Way.GAS_OFF,
            new Band(0.0, 20.0, 40.0));

    MeasuredRate rate = LearnedRate.of(List.of(winter), Species.TENCH, 0.8, 6.0).orElseThrow();

    assertThat(rate.mgPerKgPerHour().low()).isEqualTo(MeasuredRate.RATE.low());
    assertThat(rate.mgPerKgPerHour().likely()).isCloseTo(20.0, within(1e-9));
  }

  /** A valve that did not shut, or a meter that was dead: no fish rest so deeply. */
  @Test
  void rateFarBelowAllThatIsPublished_teachesNothing() {
    double least = OxygenDemand.routineMgPerKgPerHour(Species.TENCH, 0.8, 12.0).low();

    assertThat(
            LearnedRate.of(
                List.of(past(12.0, 0.49 * least, MeasuredDemand.Way.GAS_OFF)),
                Species.TENCH,
                0.8,
                12.0))
        .isEmpty();
    assertThat(
            LearnedRate.of(
                List.of(past(12.0, 0.51 * least, MeasuredDemand.Way.GAS_OFF)),
                Species.TENCH,
                0.8,
                12.0))
        .isPresent();
  }

  @Test
  void rate_isCarriedAlongTheSpeciesOwnCurve() {
    MeasuredRate rate =
        LearnedRate.of(
                List.of(past(12.0, 40.0, MeasuredDemand.Way.GAS_OFF)), Species.TENCH, 0.8, 14.0)
            .orElseThrow();

    double ratio =
        OxygenDemand.routineMgPerKgPerHour(Species.TENCH, 0.8, 14.0).likely()
            / OxygenDemand.routineMgPerKgPerHour(Species.TENCH, 0.8, 12.0).likely();
    assertThat(rate.mgPerKgPerHour().likely()).isCloseTo(40.0 * ratio, within(1e-9));
  }

  @Test
  void band_holdsEightInTenOfTheNextTrips() {
    Random chance = new Random(11);
    int held = 0;
    int tried = 4000;
    for (int i = 0; i < tried; i++) {
      List<PastDemand> trips = new ArrayList<>();
      for (int n = 0; n < 5; n++) {
        double rate = 50.0 * Math.exp(0.3 * chance.nextGaussian());
        trips.add(past(12.0, rate, MeasuredDemand.Way.GAS_OFF));
      }
      Band band = LearnedRate.of(trips, Species.TENCH, 0.8, 12.0).orElseThrow().mgPerKgPerHour();
      double next = 50.0 * Math.exp(0.3 * chance.nextGaussian());
      held += next >= band.low() && next <= band.high() ? 1 : 0;
    }

    // A little over eight in ten: the band is never narrower than the trips' own.
    assertThat((double) held / tried).isBetween(0.78, 0.86);
  }

  @Test
  void otherFishOtherWaterAndSteadyStretches_doNotCount() {
    List<PastDemand> trips =
        List.of(
            past(16.0, 40.0, MeasuredDemand.Way.GAS_OFF),
            past(12.0, 40.0, MeasuredDemand.Way.AFTER_A_FAILURE),
            past(12.0, 40.0, MeasuredDemand.Way.STEADY));

    assertThat(LearnedRate.of(trips, Species.TENCH, 0.8, 12.0)).isEmpty();
    assertThat(
            LearnedRate.of(
                List.of(past(12.0, 40.0, MeasuredDemand.Way.GAS_OFF)), Species.ROACH, 0.8, 12.0))
        .isEmpty();
    assertThat(
            LearnedRate.of(
                List.of(past(12.0, 40.0, MeasuredDemand.Way.GAS_OFF)), Species.TENCH, 0.1, 12.0))
        .isEmpty();
  }

  @Test
  void plan_takesTheMeasuredRate() {
    LoadPlanRequest.Builder asked =
        LoadPlanRequest.of(FishLoad.of(Batch.of(Species.TENCH, 100.0, 120)), 650.0)
            .temperatureC(12.0)
            .minutes(120.0);
    double curve = LoadPlan.of(asked.build()).outlook().demandAfterAnHourMgPerKgPerHour().likely();

    LoadPlan plan =
        LoadPlan.of(
            asked.measuredRate(new MeasuredRate(new Band(80.0, 90.0, 99.0), 12.0, 4)).build());

    double settled = OxygenDemand.routineMgPerKgPerHour(Species.TENCH, 100.0 / 120, 12.0).likely();
    assertThat(plan.outlook().demandAfterAnHourMgPerKgPerHour().likely())
        .isCloseTo(curve * 90.0 / settled, within(1e-6 * curve * 90.0 / settled));
    assertThat(plan.notes()).anySatisfy(n -> assertThat(n).contains("4 of the farm's own trips"));
    assertThat(plan.request().toBuilder().build()).isEqualTo(plan.request());
  }
}
