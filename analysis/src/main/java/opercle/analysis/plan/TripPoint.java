// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import opercle.analysis.Band;

/**
 * The water at one moment of the trip, low / likely / high over the three worlds.
 *
 * @param minutes since loading
 * @param oxygenMgPerL oxygen, mg/L
 * @param tanMgPerL total ammonia gathered, mg/L as nitrogen
 * @param carbonDioxideMgPerL carbon dioxide, mg/L
 */
public record TripPoint(
    double minutes, Band oxygenMgPerL, Band tanMgPerL, Band carbonDioxideMgPerL) {}
