// SPDX-License-Identifier: Apache-2.0
// What the page knows, and what follows from it. Pure: no clock, no network, no document.
// Times are milliseconds; `at` is the browser's clock, `now` the farm's.

import { minutesWords, RANKS as RANK_WORDS, useZone } from './words.js';

const RANKS = ['high', 'medium', 'low', 'none'];
const HOUR = 3_600_000;
const POINT_EVERY = 20_000;
const HOURS_IN_HAND = 180; // minutes

/** What is older than this is stale, seconds, unless the watch still stands by it. */
const STALE_AFTER = 60;

/** What is older than this is stale whatever anybody says: a transport tank may be lost by then. */
const STALE_FOR_SURE = 600;

/** With these the supply is lost: what holds then is the time in hand without it. */
const SUPPLY_LOST = new Set(['gas-line-stopped', 'gas-not-reaching-water']);

/** Before anything was heard. */
export const start = () => ({
  farm: '', version: '', now: 0, heardAt: 0, lostAt: 0, told: '', toldAt: 0, notTaken: 0, troubles: [], tanks: [], hours: {},
});

/** After the answer of /api/v1/tanks. */
export function described(state, answer, at) {
  useZone(answer.zone);
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
    back: state.lostAt ? { from: state.now, to: now, at, seconds: (at - state.heardAt) / 1000 } : state.back,
    ...told(state, event, at),
    notTaken: event.notTaken,
    troubles: event.troubles,
    tanks: state.tanks.map((tank) => ({ ...tank, state: event.tanks[tank.id] ?? {} })),
    hours: grown(state, event, now),
  };
}

/**
 * The newest state of any tank, and when this page first heard it: the watch tells one each second,
 * so that one that stays the same means that the server lives but the watch behind it does not.
 */
function told(state, event, at) {
  const newest = Object.values(event.tanks).map((tank) => tank.time ?? '').sort().at(-1) ?? '';
  return newest === state.told && state.toldAt > 0 ? {} : { told: newest, toldAt: at };
}

/** A loss shorter than this left nothing out that a keeper would miss, seconds. */
const GAP_WORTH_SAYING = 10;

/** How long a page says that something was missed, ms. */
const SAID_FOR = 120_000;

/** What was missed while the server was lost, in farm time; undefined where nothing is to be said. */
export const missed = (state, at) =>
  (!state.lostAt && state.back?.seconds >= GAP_WORTH_SAYING && state.back.from > 0
    && at - state.back.at < SAID_FOR ? state.back : undefined);

/** Whether the descriptions are older than the event. */
export const needsDescription = (state, event) => state.version !== event.version;

/** After the last hour was read from the store. */
export function recalled(state, answer) {
  return { ...state, hours: answer.tanks };
}

/** After the server fell silent. */
export const lost = (state, at) => (state.lostAt ? state : { ...state, lostAt: at });

/** A point stands where its reading was taken: without a new reading no line grows. */
function grown(state, event, now) {
  const hours = {};
  for (const [id, points] of Object.entries(state.hours)) {
    const { oxygenMgPerL: oxygen, origins } = event.tanks[id] ?? {};
    const read = Date.parse(origins?.oxygen?.time);
    const last = points.at(-1);
    const due = oxygen !== undefined && (last ? read - last[0] * 1000 >= POINT_EVERY : read > now - HOUR);
    const kept = points.filter(([second]) => second * 1000 > now - HOUR);
    hours[id] = due ? [...kept, [read / 1000, oxygen]] : kept;
  }
  return hours;
}

/** The farm's time at an instant of the browser's clock. */
export const farmTime = (state, at) => state.now + Math.max(0, at - state.heardAt);

/** Seconds since a time of the farm; undefined where there is none. */
const since = (state, time, at) =>
  (time === undefined ? undefined : Math.max(0, (farmTime(state, at) - Date.parse(time)) / 1000));

/** Age of a tank's newest reading, seconds; undefined where there never was one. */
export const age = (state, tank, at) => since(state, tank.state.newestReading, at);

/** Each value that is shown of a tank: where its reading stands in `origins`, and it itself. */
const FIELDS = { oxygen: 'oxygenMgPerL', temperature: 'temperatureC', gasFlow: 'gasFlowLPerMin' };

/**
 * One value of a tank with its own reading: { value, heard, age, stale }. It is stale by that
 * reading's age alone, whatever the other probes say. A probe that speaks every few minutes is not
 * stale in between: the watch knows its pace, and gives no value once it is late.
 *
 * @param what oxygen, temperature or gasFlow
 */
export function valueOf(state, tank, what, at) {
  const value = tank.state[FIELDS[what]];
  const heard = tank.state.origins?.[what];
  const seconds = since(state, heard?.time ?? tank.state.newestReading, at);
  const stoodBy = value !== undefined && since(state, tank.state.time, at) <= STALE_AFTER;
  const stale = seconds === undefined || seconds > STALE_FOR_SURE || seconds > STALE_AFTER && !stoodBy;
  return { value, heard, age: heard && seconds, stale };
}

/** Whether the time in hand is too old to go by: it is as old as the oxygen that it is drawn from. */
export const isStale = (state, tank, at) => valueOf(state, tank, 'oxygen', at).stale;

/** Its cause has gone, but somebody still owes it an answer or a look. */
const GONE = new Set(['returned-unacknowledged', 'latched-unacknowledged', 'latched-acknowledged']);

/** A named person has put it aside for a while. */
const PUT_ASIDE = new Set(['shelved', 'out-of-service']);

export const isGone = (alarm) => GONE.has(alarm.state);
export const isPutAside = (alarm) => PUT_ASIDE.has(alarm.state);

/** Whether it asks for somebody: nobody has it, nobody put it aside, no other speaks for it. */
export const isOpen = (alarm) =>
  alarm.state !== 'acknowledged' && alarm.state !== 'suppressed' && !isPutAside(alarm);

/** An alarm whose cause has gone, or that was put aside, is not urgent any more, but stands. */
export const rankOf = (alarm) => (isGone(alarm) || isPutAside(alarm) ? 'low' : alarm.priority);

/** The alarms of a tank, the most urgent first. */
export const alarmsOf = (tank) => [...tank.state.alarms ?? []]
  .sort((a, b) => RANKS.indexOf(rankOf(a)) - RANKS.indexOf(rankOf(b)));

/** The rank of a tank's most urgent alarm. */
export const rank = (tank) =>
  RANKS[Math.min(...alarmsOf(tank).map((a) => RANKS.indexOf(rankOf(a))), RANKS.length - 1)];

/** Whether its most urgent alarms call for somebody: one that a person has still stands, quietly. */
export const isCalling = (tank) => alarmsOf(tank).some((a) => rankOf(a) === rank(tank) && isOpen(a));

/** The shape of a rank: filled where it calls, hollow where somebody has it. */
export const shapeOf = (tank) => {
  const { shape, hollow } = RANK_WORDS[rank(tank)];
  return isCalling(tank) ? shape : hollow;
};

/** The rank in words. A tank that nothing was heard of has no alarm only because nobody looks. */
export function rankWords(tank) {
  if (rank(tank) === 'none') {
    return tank.state.newestReading === undefined ? 'Not watched' : RANK_WORDS.none.word;
  }
  return isCalling(tank) ? RANK_WORDS[rank(tank)].word : quietWords(alarmsOf(tank)[0]);
}

/** Why an alarm that stands does not call. */
export function quietWords({ state, acknowledgedBy }) {
  if (state === 'acknowledged') {
    return `${acknowledgedBy ?? 'Somebody'} has it`;
  }
  return state === 'suppressed' ? 'Same trouble elsewhere' : 'Put aside';
}

/**
 * Time in hand as it is to be shown: as things go, and if gas stops. Oxygen takes minutes to show
 * the loss of the gas; once that is known, the shorter of the two is the one that holds, and
 * "if gas stops" has come true.
 */
export function inHand(tank) {
  const { timeInHand: hand, timeInHandIfGasStops: ifStops } = tank.state;
  const lost = alarmsOf(tank).some(({ cause, state }) =>
    SUPPLY_LOST.has(cause) && !GONE.has(state));
  return lost ? { hand: shorter(hand, ifStops) } : { hand, ifStops };
}

function shorter(a, b) {
  if (a?.is === 'minutes' && b?.is === 'minutes') {
    return a.likely <= b.likely ? a : b;
  }
  return [a, b].find((hand) => hand?.is === 'minutes')
    ?? [a, b].find((hand) => hand?.is !== 'holding') ?? a;
}

/** A tank that asks for nothing: no alarm, and hours in hand. */
export const isCalm = (tank) => {
  const { hand } = inHand(tank);
  return rank(tank) === 'none'
    && (hand?.is === 'holding' || hand?.is === 'minutes' && hand.likely >= HOURS_IN_HAND);
};

const inOrder = (hand) => {
  switch (hand?.is) {
    case 'minutes': return hand.likely;
    case 'holding': return Number.MAX_VALUE;
    default: return Number.MAX_VALUE / 2; // not knowing is worse than holding
  }
};

/** How urgent a tank is, in steps; less is more urgent. */
const urgency = (tank) => 2 * RANKS.indexOf(rank(tank)) + (isCalm(tank) ? 1 : 0);

/** Whether an alarm stands below a lesser one in this order. */
export const isOutOfOrder = (tanks) => {
  const ranks = tanks.map((tank) => RANKS.indexOf(rank(tank)));
  return ranks.some((r, i) => i > 0 && r < ranks[i - 1]);
};

/**
 * Worst first: by alarm, then by time in hand, then by time in hand if gas stops. Of calm tanks the
 * last alone counts: whether a slow trend comes to 8 h or to none is a matter of its noise.
 */
export function worstFirst(tanks) {
  const key = (t) => {
    const { hand, ifStops } = inHand(t);
    return [urgency(t), isCalm(t) ? 0 : inOrder(hand), inOrder(ifStops)];
  };
  return tanks
    .map((tank) => ({ tank, key: key(tank) }))
    .sort((a, b) => {
      const i = a.key.findIndex((value, at) => value !== b.key[at]);
      return i < 0 ? a.tank.name.localeCompare(b.tank.name) : a.key[i] - b.key[i];
    })
    .map(({ tank }) => tank);
}

const open = (tanks, wanted) =>
  tanks.filter((t) => alarmsOf(t).some((a) => rankOf(a) === wanted && isOpen(a)));

const oneOrMany = (tanks, one, many) =>
  tanks.length === 1 ? one(tanks[0].name) : many(`${tanks.length} tanks`);

/** What somebody must get up for: a rank, its tanks and a sentence; undefined if nothing is. */
export function urgent(tanks) {
  const [now, look] = [open(tanks, 'high'), open(tanks, 'medium')];
  if (now.length > 0) {
    return { rank: 'high', tanks: now,
      words: oneOrMany(now, (name) => `${name} needs you now`, (some) => `${some} need you now`) };
  }
  if (look.length > 0) {
    return { rank: 'medium', tanks: look,
      words: oneOrMany(look, (name) => `Go and look at ${name}`, (some) => `${some} to go and look at`) };
  }
  return undefined;
}

/** The one sentence at the head of the page. It never says more than is known. */
export function summary(state, at) {
  const { tanks } = state;
  if (state.version === '') {
    return 'Asking after the tanks';
  }
  if (tanks.length === 0) {
    return 'This farm has no tanks';
  }
  const now = urgent(tanks);
  if (now) {
    return now.words;
  }
  if (state.lostAt) {
    return 'Nothing is known now';
  }
  const stocked = tanks.filter((t) => t.loads.some((load) => load.kg > 0));
  const dark = stocked.filter((t) =>
    isStale(state, t, at) || !['minutes', 'holding'].includes(inHand(t).hand?.is));
  if (dark.length > 0) {
    return `Too little is known of ${oneOrMany(dark, (name) => name, (some) => some)}`;
  }
  const low = open(tanks, 'low');
  if (low.length > 0) {
    return `When you can, look at ${oneOrMany(low, (name) => name, (some) => some)}`;
  }
  const held = tanks.filter((t) => alarmsOf(t).some((a) => a.state === 'acknowledged'));
  if (held.length > 0) {
    return `Somebody has ${oneOrMany(held, (name) => name, (some) => some)}`;
  }
  const aside = tanks.filter((t) => alarmsOf(t).some(isPutAside) || t.state.outOfService?.length > 0);
  if (aside.length > 0) {
    return `Put aside: ${oneOrMany(aside, (name) => name, (some) => `alarms of ${some}`)}`;
  }
  const hands = stocked.map((t) => inHand(t).hand).filter((hand) => hand.is === 'minutes');
  if (hands.length > 0) {
    return `No alarms; ${minutesWords(Math.min(...hands.map((hand) => hand.likely)))} or more in hand`;
  }
  return stocked.length > 0 ? 'All tanks are holding' : 'No fish in any tank';
}

/** How many alarms stand, in words: that none does is only said of what is being heard. */
export function standingWords(state) {
  const count = state.tanks.reduce((sum, tank) => sum + alarmsOf(tank).length, 0);
  if (state.version === '') {
    return state.lostAt ? 'Nothing is known now' : 'Asking after the alarms';
  }
  if (count === 0) {
    return state.lostAt ? 'Nothing is known now' : 'No alarm stands';
  }
  const alarms = count === 1 ? 'One alarm' : `${count} alarms`;
  return state.lostAt ? `${alarms} stood when last heard` : `${alarms} ${count === 1 ? 'stands' : 'stand'}`;
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
