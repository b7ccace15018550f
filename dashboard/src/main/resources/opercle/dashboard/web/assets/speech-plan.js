// SPDX-License-Identifier: Apache-2.0
// What is spoken in the cab, and when. Pure: state in, words out. The sentences of alarms are the
// server's own.

import { isLost, sounds } from './sound-plan.js';
import { inOwnUnits } from './units.js';

const EVERY = { high: 20_000, medium: 60_000, lost: 60_000 };
const MOST_AT_ONCE = 2; // more in one breath is not understood

const LOST = 'Opercle cannot be reached. Nothing is known of the tanks. Stop when safe, and look.';

/**
 * What must be said now: { rank, key, text, every } or undefined. The key changes when there is
 * something new, not when only the minutes have. Who silences an alarm elsewhere does not silence it
 * here.
 *
 * @param chosen the ids of the tanks behind the driver
 */
export function wordsFor(state, at, chosen) {
  // An alarm may speak for a tank behind this driver though it is another's own.
  const isBehind = (tank, alarm) => [tank.id, ...(alarm.tanks ?? [])].some((id) => chosen.includes(id));
  const open = state.tanks.flatMap((tank) => (tank.state.alarms ?? [])
    .filter((a) => isBehind(tank, a) && sounds(a) && a.priority !== 'low')
    .map((alarm) => ({ tank, alarm })));
  const high = open.filter(({ alarm }) => alarm.priority === 'high');
  const alarms = (high.length > 0 ? high : open).slice(0, MOST_AT_ONCE);
  if (alarms.length > 0) {
    const rank = alarms[0].alarm.priority;
    return {
      rank,
      key: alarms.map(({ tank, alarm }) => `${tank.id}/${alarm.cause}/${alarm.since}/${rank}`).join(' '),
      text: alarms.map(({ tank, alarm }) => inOwnUnits(alarm.spoken ?? `${tank.name}. ${alarm.message}`)).join(' '),
      every: EVERY[rank],
    };
  }
  return isLost(state, at)
    ? { rank: 'lost', key: 'lost', text: LOST, every: EVERY.lost }
    : undefined;
}

/** Whether it is time to say it: it is new, or it was said long enough ago. */
export const isDue = (said, words, at) =>
  words !== undefined && (said?.key !== words.key || at - said.at >= words.every);
