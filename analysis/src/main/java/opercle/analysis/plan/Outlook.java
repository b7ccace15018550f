// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;

/**
 * What a trip is expected to be like, low / likely / high. The three are three whole worlds, not
 * bounds put together at random: in the high world of demand the fish breathe hard, and diffuser
 * and surface give little; it makes the low end of oxygen and of minutes.
 *
 * @param densityKgPerL fish per litre of water
 * @param demandNowMgPerKgPerHour at the moment of loading, handling included
 * @param demandAfterAnHourMgPerKgPerHour an hour later, at the temperature of then
 * @param airSaturationMgPerL 100 % of air saturation at loading, mg/L
 * @param targetMgPerL the oxygen that the plan holds, mg/L
 * @param flowNowLPerMin gas that holds it from loading through the first hour; infinite where this
 *     gas cannot
 * @param flowAfterAnHourLPerMin gas that holds it an hour later
 * @param flowAtEndLPerMin gas that holds it at the end, where the water may be warmer; no less than
 *     an hour after loading
 * @param flowLimitLPerMin the most gas that the tank can take, L/min
 * @param lowestMgPerL the lowest oxygen on the way at the flow in use
 * @param highestMgPerL the highest
 * @param settledMgPerL where oxygen settles at the end of the trip at the flow in use
 * @param gasUsedLitres gas for the trip: at the flow that the keeper sets, or at what each world
 *     needs
 * @param gasUsableLitres gas in the cylinders above the reserve, where they were given
 * @param enduranceMinutes how long that lasts at the same flows; infinite where none is drawn
 * @param inHandAtLoadingMinutes from the target to the critical floor, were the gas to stop as the
 *     fish go in
 * @param inHandAfterAnHourMinutes the same an hour later (at the end of a shorter trip), from the
 *     likely oxygen of then where that is under the target
 * @param inHandAtEndMinutes the same at the end of the trip: less, where the water has warmed or
 *     the flow does not hold
 * @param tanMgPerL total ammonia gathered at the end, mg/L as nitrogen
 * @param carbonDioxideMgPerL highest carbon dioxide on the way, mg/L
 * @param course the water from loading to unloading, evenly spaced
 */
public record Outlook(
    double densityKgPerL,
    Band demandNowMgPerKgPerHour,
    Band demandAfterAnHourMgPerKgPerHour,
    double airSaturationMgPerL,
    double targetMgPerL,
    Band flowNowLPerMin,
    Band flowAfterAnHourLPerMin,
    Band flowAtEndLPerMin,
    double flowLimitLPerMin,
    Band lowestMgPerL,
    Band highestMgPerL,
    Band settledMgPerL,
    Band gasUsedLitres,
    OptionalDouble gasUsableLitres,
    Optional<Band> enduranceMinutes,
    Band inHandAtLoadingMinutes,
    Band inHandAfterAnHourMinutes,
    Band inHandAtEndMinutes,
    Band tanMgPerL,
    Band carbonDioxideMgPerL,
    List<TripPoint> course) {

  public Outlook {
    course = List.copyOf(course);
  }

  /** Whether the flow to set goes on rising after the first hour. */
  boolean flowRises() {
    return flowAtEndLPerMin.likely() > flowAfterAnHourLPerMin.likely();
  }

  /** The shortest of the three times in hand, by its likely figure. */
  Band shortestInHandMinutes() {
    Band shorter =
        inHandAfterAnHourMinutes.likely() < inHandAtLoadingMinutes.likely()
            ? inHandAfterAnHourMinutes
            : inHandAtLoadingMinutes;
    return inHandAtEndMinutes.likely() < shorter.likely() ? inHandAtEndMinutes : shorter;
  }
}
