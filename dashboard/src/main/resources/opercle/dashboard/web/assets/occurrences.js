// SPDX-License-Identifier: Apache-2.0
// From alarm events to alarms from raised to their end. Pure.

/** One occurrence of an alarm; its start tells it from others of the same alarm. */
export const keyOf = ({ tank, cause, since }) => `${tank} ${cause} ${since}`;

/**
 * The occurrences that events tell of, the one raised last first.
 *
 * @param events in any order
 * @param verdicts one of each occurrence, at most: the one that holds
 */
export function occurrences(events, verdicts) {
  const said = new Map(verdicts.map((verdict) => [keyOf(verdict), verdict]));
  const byKey = new Map();
  for (const event of [...events].sort((a, b) => Date.parse(a.time) - Date.parse(b.time))) {
    const key = keyOf(event);
    if (!byKey.has(key)) {
      byKey.set(key, []);
    }
    byKey.get(key).push(event);
  }
  const latest = new Map(); // of each alarm: an earlier one is over, dealt with or not
  const list = [...byKey.entries()]
    .map(([key, told]) => occurrence(key, told, said.get(key)))
    .sort((a, b) => Date.parse(b.since) - Date.parse(a.since));
  for (const alarm of list) {
    const id = `${alarm.tank} ${alarm.cause}`;
    alarm.end ??= latest.get(id);
    latest.set(id, alarm.since);
  }
  return list;
}

const RANKS = ['high', 'medium', 'low'];

function occurrence(key, told, verdict) {
  const last = told[told.length - 1];
  const acknowledged = told.find((event) => event.event === 'acknowledged');
  return {
    key,
    tank: last.tank,
    cause: last.cause,
    since: last.since,
    whole: told[0].event === 'raised',
    message: (told.find((event) => event.event !== 'cleared') ?? last).message,
    worst: RANKS[Math.min(...told.map((event) => RANKS.indexOf(event.priority)))],
    end: last.state === 'normal' ? last.time : undefined,
    cleared: told.findLast((event) => event.event === 'cleared')?.time,
    acknowledged: acknowledged && { by: acknowledged.by, time: acknowledged.time },
    verdict,
  };
}

/** How long between two times, in minutes. */
export const minutesBetween = (from, to) => (Date.parse(to) - Date.parse(from)) / 60_000;
