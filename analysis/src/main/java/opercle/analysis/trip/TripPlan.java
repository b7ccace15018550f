// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.plan.LoadPlan;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.plan.Outlook;

/**
 * What a load plan promised of a trip.
 *
 * @param demandMgPerKgPerHour what the fish would breathe once settled
 * @param lowestMgPerL the lowest oxygen on the way
 * @param gasLitres gas for the whole trip, L at 15 °C
 * @param flowLPerMin the flow that was to be set an hour after loading
 * @param reserveBar what was to be left in the cylinder, bar
 * @param temperatureC water at loading, °C
 * @param minutes from loading to unloading
 */
public record TripPlan(
    Band demandMgPerKgPerHour,
    Band lowestMgPerL,
    Band gasLitres,
    OptionalDouble flowLPerMin,
    double reserveBar,
    double temperatureC,
    double minutes) {

  /** Of a plan that was worked out. */
  public static TripPlan of(LoadPlan plan) {
    Outlook outlook = plan.outlook();
    LoadPlanRequest request = plan.request();
    double likely = outlook.flowAfterAnHourLPerMin().likely();
    OptionalDouble planned =
        Double.isFinite(likely)
            ? OptionalDouble.of(Math.min(likely, outlook.flowLimitLPerMin()))
            : OptionalDouble.empty();
    return new TripPlan(
        outlook.demandAfterAnHourMgPerKgPerHour(),
        outlook.lowestMgPerL(),
        outlook.gasUsedLitres(),
        request.flowLPerMin().isPresent() ? request.flowLPerMin() : planned,
        request.reserveBar(),
        request.temperatureC(),
        request.minutes());
  }
}
