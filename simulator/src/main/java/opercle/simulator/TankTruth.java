// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.time.Instant;

/**
 * What is really so in a simulated tank at an instant, which no probe knows.
 *
 * @param tank the tank's id
 * @param time the instant
 * @param oxygenMgPerL of the whole tank, mg/L
 * @param lowestOxygenMgPerL of its poorest zone, mg/L
 * @param temperatureC water, °C
 * @param gasReachingWaterLPerMin gas out of the diffuser, L/min at 15 °C and 101.325 kPa
 * @param fishKg fish in it, kg
 */
public record TankTruth(
    String tank,
    Instant time,
    double oxygenMgPerL,
    double lowestOxygenMgPerL,
    double temperatureC,
    double gasReachingWaterLPerMin,
    double fishKg) {}
