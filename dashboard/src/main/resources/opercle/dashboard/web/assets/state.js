// SPDX-License-Identifier: Apache-2.0
// What the page knows, and what follows from it. Pure: no clock, no network, no document.
// Times are milliseconds; `at` is the browser's clock, `now` the farm's.

const RANKS = ['high', 'medium', 'low', 'none'];
const HOUR = 3_600_000;
const POINT_EVERY = 20_000;

/** A tank whose newest reading is older than this is stale, seconds. */
export const STALE_AFTER = 60;

/** Before anything was heard. */
export const start = () => ({
  farm: '', version: '', now: 0, heardAt: 0, lostAt: 0, notTaken: 0, tanks: [], hours: {},
});

/** After the answer of /api/v1/tanks. */
export function described(state, answer, at) {
  return {
    ...state,
    farm: answer.farm,
    version: answer.version,
    now: Date.parse(answer.now),
    heardAt: at,
    tanks: answer.tanks,
  };
}

/** After a live event. Tanks that are not described yet wait for the description. */
export function heard(state, event, at) {
  const now = Date.parse(event.now);
  return {
    ...state,
    now,
    heardAt: at,
    lostAt: 0,
    notTaken: event.notTaken,
    tanks: state.tanks.map((tank) => ({ ...tank, state: event.tanks[tank.id] ?? {} })),
    hours: grown(state, event, now),
  };
}

/** Whether the descriptions are older than the event. */
export const needsDescription = (state, event) => state.version !== event.version;

/** After the last hour was read from the store. */
export function recalled(state, answer) {
  return { ...state, hours: answer.tanks };
}

/** After the server fell silent. */
export const lost = (state, at) => (state.lostAt ? state : { ...state, lostAt: at });

function grown(state, event, now) {
  const hours = {};
  for (const [id, points] of Object.entries(state.hours)) {
    const oxygen = event.tanks[id]?.oxygenMgPerL;
    const last = points.at(-1);
    const due = oxygen !== undefined && (!last || now - last[0] * 1000 >= POINT_EVERY);
    const kept = points.filter(([second]) => second * 1000 > now - HOUR);
    hours[id] = due ? [...kept, [now / 1000, oxygen]] : kept;
  }
  return hours;
}

/** The farm's time at an instant of the browser's clock. */
export const farmTime = (state, at) => state.now + Math.max(0, at - state.heardAt);

/** Age of a tank's newest reading, seconds; undefined where there never was one. */
export function age(state, tank, at) {
  const newest = tank.state.newestReading;
  return newest === undefined
    ? undefined
    : Math.max(0, (farmTime(state, at) - Date.parse(newest)) / 1000);
}

export function isStale(state, tank, at) {
  const seconds = age(state, tank, at);
  return seconds === undefined || seconds > STALE_AFTER;
}

export const alarmsOf = (tank) => tank.state.alarms ?? [];

/** An alarm whose cause has gone is not urgent any more, but still owes an answer. */
export const rankOf = (alarm) =>
  alarm.state === 'returned-unacknowledged' ? 'low' : alarm.priority;

/** The rank of a tank's most urgent alarm. */
export const rank = (tank) =>
  RANKS[Math.min(...alarmsOf(tank).map((a) => RANKS.indexOf(rankOf(a))), RANKS.length - 1)];

const inOrder = (hand) => {
  switch (hand?.is) {
    case 'minutes': return hand.likely;
    case 'holding': return Number.MAX_VALUE;
    default: return Number.MAX_VALUE / 2; // not knowing is worse than holding
  }
};

/** Worst first: by alarm, then by time in hand, then by time in hand if gas stops. */
export function worstFirst(tanks) {
  const key = (t) => [
    RANKS.indexOf(rank(t)), inOrder(t.state.timeInHand), inOrder(t.state.timeInHandIfGasStops),
  ];
  return tanks
    .map((tank) => ({ tank, key: key(tank) }))
    .sort((a, b) => {
      const i = a.key.findIndex((value, at) => value !== b.key[at]);
      return i < 0 ? a.tank.name.localeCompare(b.tank.name) : a.key[i] - b.key[i];
    })
    .map(({ tank }) => tank);
}

/** The one sentence at the head of the page. */
export function summary(tanks) {
  if (tanks.length === 0) {
    return 'Asking after the tanks';
  }
  const open = (wanted) =>
    tanks.filter((t) =>
      alarmsOf(t).some((a) => rankOf(a) === wanted && a.state !== 'acknowledged'));
  const [now, look] = [open('high'), open('medium')];
  if (now.length > 0) {
    return now.length === 1 ? `${now[0].name} needs you now` : `${now.length} tanks need you now`;
  }
  if (look.length > 0) {
    return look.length === 1
      ? `Go and look at ${look[0].name}` : `${look.length} tanks to go and look at`;
  }
  const held = tanks.filter((t) => alarmsOf(t).some((a) => a.state === 'acknowledged'));
  if (held.length > 0) {
    return `Somebody has ${held.length === 1 ? held[0].name : `${held.length} tanks`}`;
  }
  return tanks.every((t) => t.state.timeInHand?.is === 'holding')
    ? 'All tanks are holding' : 'No alarms';
}

/** Alarms that are in one state and were not in the other: what must be read out. */
export function raised(before, after) {
  const known = new Set(before.tanks.flatMap((t) => alarmsOf(t).map((a) => keyOf(t, a))));
  return after.tanks.flatMap((tank) =>
    alarmsOf(tank)
      .filter((a) => a.state === 'unacknowledged' && !known.has(keyOf(tank, a)))
      .map((alarm) => ({ tank, alarm })));
}

const keyOf = (tank, alarm) => `${tank.id}/${alarm.cause}/${alarm.priority}/${alarm.state}`;
