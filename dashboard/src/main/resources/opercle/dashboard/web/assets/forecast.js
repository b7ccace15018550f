// SPDX-License-Identifier: Apache-2.0
// Where a tank's oxygen is going, as its watch believes it. Pure.

import { inHand } from './state.js';

/** A trace shows at most this part of its own length ahead. */
const MOST_AHEAD = 0.25;

/**
 * From the newest oxygen to the critical floor, which it reaches between two instants, likeliest at
 * a third; undefined where the watch gives no minutes. Seconds since 1970, mg/L.
 */
export function forecast(tank) {
  const { hand } = inHand(tank);
  const { oxygenMgPerL, newestReading, origins } = tank.state;
  const floor = tank.floors.criticalMgPerL;
  if (hand?.is !== 'minutes' || oxygenMgPerL === undefined || !(oxygenMgPerL > floor)) {
    return undefined;
  }
  const from = Date.parse(origins?.oxygen?.time ?? newestReading) / 1000;
  const [soonest, likely, latest] = [hand.low, hand.likely, hand.high].map((m) => from + 60 * m);
  return { from, oxygenMgPerL, floor, soonest, likely, latest };
}

/** How far ahead a span must be shown, seconds: only one that follows the time looks ahead. */
export function ahead(span, expected) {
  return span?.following && expected !== undefined
    ? Math.min(MOST_AHEAD * (span.to - span.from), Math.max(0, 1.1 * (expected.latest - span.to)))
    : 0;
}
