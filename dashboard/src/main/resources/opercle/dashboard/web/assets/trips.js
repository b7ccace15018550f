// SPDX-License-Identifier: Apache-2.0
// The trips: what there was, side by side, and starting another.

import { recall } from './device.js';
import { el, labelled, say, show } from './dom.js';
import { instantsOf, wallOf } from './farm-clock.js';
import { ask, askWith, askWithFile } from './feed.js';
import { begin, current, entitle } from './live.js';
import { farmTime, urgent } from './state.js';
import { onSubmit } from './trip-form.js';
import { comparedOrigins } from './trip-origins.js';
import { movementsOf, otherRecords } from './trip-records.js';
import { offerWords } from './trip-tank.js';
import { newId, readNumber, spanWords } from './trip-words.js';
import { amount, inField, inOwnUnits, shown, unitOf } from './units.js';
import { wherePart } from './whence.js';
import { clockWords, dayOfYearWords, temperatureWords, useZone } from './words.js';

const byId = (id) => document.getElementById(id);
const trips = [];
let tanks = [];

const told = (error) => {
  say(byId('trouble'), inOwnUnits(error.message));
  show(byId('trouble'), true);
};
const now = () => new Date(farmTime(current(), Date.now())).toISOString();

function title(trip) {
  if (trip.kind === 'night') {
    return `${trip.tankName}, a night`;
  }
  return trip.from || trip.to ? `${trip.from || '–'} to ${trip.to || '–'}` : trip.tankName;
}

const day = (time) => `${dayOfYearWords(Date.parse(time))}, ${clockWords(Date.parse(time))}`;
const loadWords = (trip) => trip.load.map(({ name, kg, count }) =>
  `${amount('mass', kg)} of ${name}${count ? `, ${amount('mass', kg / count, 2)} each` : ''}`).join('; ');
const one = (value, decimals, unit) => (value === undefined ? 'not known' : `${value.toFixed(decimals)}${unit}`);

/** How long below the keep floor; of a trace with gaps only what was seen. */
function belowWords({ belowKeepMinutes, unknownMinutes }) {
  if (belowKeepMinutes === undefined) {
    return 'not known';
  }
  const gaps = unknownMinutes > 1 ? `, ${spanWords(unknownMinutes)} not known` : '';
  return `${spanWords(belowKeepMinutes)}${gaps}`;
}

/** What they breathed, with its bounds and how it was measured. */
const breathedWords = ({ demandMgPerKgPerHour: d, demandMeasured }) => (d === undefined ? 'not measured'
  : `${d.likely.toFixed(0)} mg an hour for each kg, likely between ${d.low.toFixed(0)} and ${d.high.toFixed(0)}; ${demandMeasured}`);

/** Fish that did not live, as they were written down: some by number, some by weight. */
const lossWords = ({ losses, lossesKg }) =>
  [...(losses > 0 || !lossesKg ? [losses === 0 ? 'none written down' : `${losses} fish`] : []), ...(lossesKg ? [amount('mass', lossesKg)] : [])].join(', ');

let hasBegun = false;
let hasMore = false; // earlier trips that are not on this page yet
let lastAsked; // the last trip of the newest answer: one that stands here already may have got another time

/** Demand goes by kind, size and warmth: only trips that are alike in all three can be compared. */
function drawKinds() {
  const kinds = new Map(trips.filter(({ withdrawn }) => !withdrawn).flatMap(({ load }) => load.map(({ species, name }) => [species, name])));
  const newest = hasBegun ? undefined : trips.find(({ unloaded, withdrawn, load }) => unloaded && !withdrawn
    && load.every(({ species }) => species === load[0].species));
  const chosen = newest ? newest.load[0].species : byId('of-kind').value;
  if (newest) { // begins with those like the newest
    hasBegun = true;
    const warmth = WARMTHS.find(([from, to]) => newest.temperatureC >= from && newest.temperatureC < to);
    byId('of-warmth').value = warmth ? warmth.join(' ') : '';
    byId('of-size').value = ''; // as many as there are
  }
  byId('of-kind').replaceChildren(el('option', { value: '' }, 'All kinds'),
    ...[...kinds].map(([species, name]) => el('option', { value: species }, name)));
  byId('of-kind').value = kinds.has(chosen) ? chosen : '';
}

function isAlike({ load, temperatureC }) {
  const kind = byId('of-kind').value;
  const [from, to] = byId('of-warmth').value.split(' ').map(Number);
  const [least, most] = byId('of-size').value.split(' ').map(Number);
  const each = load.reduce((sum, { kg }) => sum + kg, 0) / load.reduce((sum, { count }) => sum + count, 0); // NaN where not counted
  return (kind === '' || load.every(({ species }) => species === kind))
    && (byId('of-size').value === '' || each >= least && each < most)
    && (byId('of-warmth').value === '' || temperatureC >= from && temperatureC < to);
}

function drawWarmths() {
  const words = (celsius) => `${+shown('temperature', celsius).toFixed(0)}`;
  byId('of-warmth').append(el('option', { value: '' }, 'Any water'),
    ...WARMTHS.map(([from, to]) => el('option', { value: `${from} ${to}` },
      `${from < 0 ? 'under ' : `${words(from)} to `}${to > 40 ? 'more' : words(to)} ${unitOf('temperature')}`)));
}
/** Of a fish, kg: about a factor of three each, within which the farm learns. */
const SIZES = [[0, 0.1], [0.1, 0.3], [0.3, 1], [1, 3], [3, 1000]];
function drawSizes() {
  const words = (kg) => amount('mass', kg, 2);
  byId('of-size').append(el('option', { value: '' }, 'Any size'),
    ...SIZES.map(([from, to]) => el('option', { value: `${from} ${to}` },
      from === 0 ? `under ${words(to)} each` : to > 100 ? `${words(from)} each and more` : `${words(from)} to ${words(to)} each`)));
}
const WARMTHS = [[-1, 6], [6, 10], [10, 14], [14, 18], [18, 99]];
for (const id of ['of-kind', 'of-warmth', 'of-size']) {
  byId(id).addEventListener('change', () => draw());
}
drawWarmths();
drawSizes();
const where = wherePart();
where.draw('these trips', comparedOrigins);
byId('comparing').append(where.root);

function draw() {
  byId('list').replaceChildren(...trips.map((trip) => {
    const lowest = trip.lowestMgPerL === undefined ? 'oxygen not known' : `lowest ${trip.lowestMgPerL.toFixed(1)} mg/L`;
    const floor = trip.belowKeepMinutes > 0 ? `, ${spanWords(trip.belowKeepMinutes)} below the keep floor` : '';
    return el('li', trip.withdrawn ? { class: 'gone' } : {}, el('a', { href: `/trips/${encodeURIComponent(trip.id)}` },
      el('strong', { class: 'under' }, title(trip)),
      el('span', {}, `${day(trip.loaded)}, ${trip.withdrawn ? 'withdrawn' : trip.unloaded ? spanWords(trip.minutes) : 'under way'}, ${loadWords(trip)}`),
      el('span', { class: 'quiet' }, trip.withdrawn ? `${trip.withdrawn.by}: ${trip.withdrawn.why}`
        : `${lowest}${floor}${trip.failure ? '; oxygen began to fall on it' : ''}`)));
  }));
  drawKinds();
  byId('rows').replaceChildren(...trips.filter((trip) => trip.unloaded && !trip.withdrawn && isAlike(trip)).map((trip) => {
    return el('tr', {}, ...[
      `${day(trip.loaded)}, ${title(trip)}`, loadWords(trip), one(trip.lowestMgPerL, 1, ' mg/L'),
      belowWords(trip),
      breathedWords(trip),
      temperatureWords(trip.temperatureC), one(trip.gasLitres, 0, ' L of gas'), lossWords(trip),
    ].map((text) => el('td', {}, text)));
  }));
  labelled(byId('rows').closest('table'));
  say(byId('compared'), hasMore ? `Only the newest ${trips.length} are compared. Press “Earlier trips” above for more.` : 'These are all that there are.');
  show(byId('comparing'), trips.some((trip) => trip.unloaded && !trip.withdrawn));
  show(byId('none'), trips.length === 0);
  const going = trips.find((trip) => !trip.unloaded && !trip.withdrawn && trip.kind === 'road');
  show(byId('draft'), Boolean(going));
  if (going) {
    byId('under-way').href = `/trips/${encodeURIComponent(going.id)}`;
  }
}

let movements = [];
const others = otherRecords(byId('other-records'), 'other-record', () => drawPrompts());
function drawMovements(answered) {
  const kept = byId('record').value;
  movements = answered;
  byId('record').replaceChildren(el('option', { value: '' }, 'None'),
    ...movements.map(({ id, title: words }) => el('option', { value: id }, words)));
  byId('record').value = movements.some(({ id }) => id === kept) ? kept : '';
  drawOthers();
}

/** A record of its own for each further kind in the tank. */
function drawOthers() {
  others.draw(chosen()?.loads ?? [], movements);
  drawPrompts();
}

/** What the papers of the movement lack, and what it does not say of the fish aboard: said before they go. */
function drawPrompts() {
  const taken = [byId('record').value, ...others.read()];
  const records = movements.filter(({ id }) => taken.includes(id));
  // Of several the trip's page says what they lack together.
  const aboard = records.length === 1 ? records[0].aboard[byId('tank').value] ?? [] : [];
  const prompts = records.length > 0 ? [...new Set([...aboard, ...records.flatMap((movement) => movement.prompts)])]
    : ['No movement is chosen, so no papers are looked at. If this one needs papers, write it down under records of movements first.'];
  byId('record-prompts').replaceChildren(...prompts.map((words) => el('li', {}, words)));
  show(byId('record-prompts'), prompts.length > 0);
  show(byId('to-records'), prompts.length > 0);
}
byId('record').addEventListener('change', drawPrompts);

/** How long they are on the road says whether a paper ends before they arrive. */
function onTheRoad() {
  const minutes = Number(byId('minutes').value.trim().replace(',', '.'));
  return minutes >= 1 && minutes <= 4320 ? { minutes } : {};
}
byId('minutes').addEventListener('change', () =>
  ask(`/api/v1/trips?${new URLSearchParams({ most: 1, ...onTheRoad() })}`)
    .then((answer) => drawMovements(answer.movements)).catch(told));

/** The newest, or those that come after one; one that was put right meanwhile may stand here already. */
async function fetchTrips(after) {
  const answer = await ask(`/api/v1/trips?${new URLSearchParams({ ...(after && { after }), ...onTheRoad() })}`);
  trips.push(...answer.trips.filter(({ id }) => trips.every((trip) => trip.id !== id)));
  hasMore = answer.more;
  lastAsked = answer.trips.at(-1)?.id ?? lastAsked;
  show(byId('more'), hasMore);
  drawMovements(answer.movements);
  ['start', 'a-night', 'bring'].forEach((id) => show(byId(id), answer.takesEntries));
  draw();
}

function chosen() {
  return tanks.find(({ id }) => id === byId('tank').value);
}

function describe() {
  const tank = chosen();
  if (tank) {
    const fish = tank.loads.map(({ name, kg, count }) => `${amount('mass', kg)} of ${name}${count ? ` in ${count} fish` : ''}`);
    say(byId('load-now'), fish.length === 0 ? 'This tank is written down as empty: write its load down first.' : `In it: ${fish.join(', ')}.`);
    const water = tank.state?.temperatureC;
    byId('temperature').value = water === undefined ? '' : inField('temperature', water);
    byId('bar').value = ''; // read off the gauge: what nobody looked at is not known
  }
}

const listen = (id, work) => onSubmit(byId(id), work, byId('trouble'), told);

let plan; // the load plan that it starts from

/** The plan that was looked at last, where its page led here: it goes with the trip as it was made. */
function takePlan(query) {
  try {
    plan = query.get('plan') ? JSON.parse(recall('plan-to-start')) : undefined;
  } catch {
    plan = undefined; // none is kept on this device
  }
  if (plan) {
    plan.tank ??= byId('tank').value;
    byId('start').open = true;
    byId('minutes').value = plan.wanted.minutes ?? '';
    byId('temperature').value = typeof plan.wanted.temperatureC === 'number' ? inField('temperature', plan.wanted.temperatureC) : '';
  }
  drawPlan();
}

function drawPlan() {
  const kg = plan?.wanted.load.reduce((sum, batch) => sum + (Number(batch.kg) || 0), 0);
  say(byId('by-plan'), !plan ? ''
    : byId('tank').value === plan.tank ? `It starts from your load plan of ${amount('mass', kg)} for ${plan.wanted.minutes} min.`
      : 'Your load plan was for another tank, so it does not go with this trip.');
  show(byId('by-plan'), Boolean(plan));
}

let startId = newId();
let startTime; // kept, so that a form sent again is the same trip
byId('start-form').addEventListener('input', () => {
  [startId, startTime] = [newId(), undefined]; // what is changed is another trip
});
listen('start-form', async (by) => {
  startTime ??= now();
  const text = (id) => byId(id).value.trim();
  const trip = await askWith('/api/v1/trips', {
    id: startId, time: startTime, by, tank: byId('tank').value, from: text('from'), to: text('to'),
    ...(text('vehicle') && { vehicle: text('vehicle') }),
    ...(text('minutes') && { expectedMinutes: readNumber(byId('minutes'), 'Minutes on the road') }),
    ...(text('temperature') && { temperatureC: readNumber(byId('temperature'), 'Water', 'temperature') }),
    ...(text('bar') && { cylinderBar: readNumber(byId('bar'), 'Cylinder') }),
    ...movementsOf(text('record'), others.read()),
    ...(plan && byId('tank').value === plan.tank && { plan: plan.wanted }),
  });
  startId = newId();
  startTime = undefined;
  location.assign(`/trips/${encodeURIComponent(trip.id)}`);
});

let night; // kept until both parts have arrived, so that a form sent again is the same night
byId('night-form').addEventListener('input', ({ target }) => {
  night = undefined;
  if (target !== byId('night-today')) {
    askToday(false); // of another night it may be known
  }
});

/** Asks whether today's fish were in the tank then, where the farm book does not tell. */
function askToday(isAsked) {
  byId('night-today').checked = false;
  show(byId('night-today-part'), isAsked);
}

/** The fish of today, where somebody said that they were in it then. */
const loadOf = (id) => tanks.find((tank) => tank.id === id).loads
  .map(({ species, kg, count }) => ({ species, kg, ...(count && { count }) }));

async function beginNight(entry) {
  try {
    await askWith('/api/v1/trips', entry);
  } catch (error) {
    if (error.errors?.some(({ pointer }) => pointer === '#/load')) {
      askToday(true);
    }
    throw error;
  }
}
listen('night-form', async (by) => {
  // Of an hour that comes twice the first: what is looked at must not begin too late.
  const [begins] = instantsOf(`${byId('night-day').value}T${byId('night-from').value}:00`);
  if (begins === undefined) {
    throw new Error(`The clocks went forward at the farm then, and ${byId('night-from').value}:00 never came. Choose another hour.`);
  }
  const from = new Date(begins);
  const ends = from.getTime() + Number(byId('night-hours').value) * 3_600_000;
  const to = new Date(Math.min(ends, farmTime(current(), Date.now())));
  if (from >= to) {
    throw new Error('That time has not come yet. Choose an earlier one.');
  }
  night ??= { id: newId(), from: from.toISOString(), to: to.toISOString() };
  const { id } = night;
  const isToday = byId('night-today').checked;
  await beginNight({ id, kind: 'night', time: night.from, until: night.to, by, tank: byId('night-tank').value,
    ...(isToday && { load: loadOf(byId('night-tank').value) }) });
  await askWith(`/api/v1/trips/${id}/unloading`, { id: `${id}-out`, time: night.to, by,
    ...(isToday && { note: `The fish are those of the day when this was looked at: ${by} says that they were in the tank then. The farm book does not tell.` }) });
  night = undefined;
  location.assign(`/trips/${id}`);
});

listen('bring-form', async () => {
  const [file] = byId('file').files;
  if (!file) {
    throw new Error('Choose the file first.');
  }
  const taken = await askWithFile(`/api/v1/trips/import${byId('other-farm').checked ? '?otherFarm=true' : ''}`, file);
  const parts = [[taken.entries, 'entries'], [taken.readings, 'readings'], [taken.alarms, 'alarms'], [taken.photos, 'pictures']].filter(([n]) => n > 0);
  say(byId('done'), parts.length === 0
    ? 'It was all here already; nothing has changed.'
    : `Taken in: ${parts.map(([n, what]) => `${n} ${what}`).join(', ')}.`);
  drawTaken(taken);
  byId('other-farm').checked = false;
  trips.length = 0;
  await fetchTrips();
});

/** What cannot be so in a file, and whether the tank's record is to follow: both are put right on the trip's page. */
function drawTaken({ trip, problems = [], tankLoad }) {
  const words = [...problems, ...(tankLoad ? [offerWords(tankLoad), 'The record is as it was: open the trip to say which is right.'] : [])];
  byId('taken').replaceChildren(...words.map((said) => el('li', {}, inOwnUnits(said))),
    ...(words.length > 0 ? [el('li', {}, el('a', { href: `/trips/${encodeURIComponent(trip)}` }, 'Open the trip'))] : []));
  show(byId('taken'), words.length > 0);
}

/** Days and hours to choose from; last night to begin with. */
function nights(at) {
  const today = Date.parse(`${wallOf(at).slice(0, 10)}T00:00Z`); // as a day of the calendar, not as an instant
  byId('night-day').append(...Array.from({ length: 14 }, (_, back) => {
    const date = new Date(today - back * 86_400_000);
    const words = date.toLocaleDateString('en-GB', { weekday: 'long', day: 'numeric', month: 'short', timeZone: 'UTC' });
    return el('option', { value: date.toISOString().slice(0, 10), ...(back === 1 && { selected: '' }) }, words);
  }));
  byId('night-from').append(...Array.from({ length: 24 }, (_, hour) => String(hour).padStart(2, '0')).map((hour) =>
    el('option', { value: hour, ...(hour === '20' && { selected: '' }) }, `${hour}:00`)));
  byId('night-hours').append(...[1, 2, 4, 6, 8, 10, 12, 24, 48, 72].map((hours) =>
    el('option', { value: hours, ...(hours === 12 && { selected: '' }) }, hours < 48 ? `${hours} h` : `${hours / 24} days`)));
}

byId('tank').addEventListener('change', () => {
  describe();
  drawOthers();
  drawPlan();
  drawPrompts();
});
let isAsking = false; // an answer that comes late must not lead back
byId('more').addEventListener('click', async () => {
  if (!isAsking) {
    isAsking = true;
    await fetchTrips(lastAsked).catch(told);
    isAsking = false;
  }
});

async function start() {
  const farm = await ask('/api/v1/tanks');
  ({ tanks } = farm);
  useZone(farm.zone);
  nights(Date.parse(farm.now));
  const order = [...tanks].sort((a, b) => Number(b.kind === 'transport') - Number(a.kind === 'transport'));
  byId('tank').append(...order.map(({ id, name }) => el('option', { value: id }, name)));
  byId('night-tank').append(...order.reverse().map(({ id, name }) => el('option', { value: id }, name)));
  say(byId('temperature-label'), `Water, ${unitOf('temperature')}`);
  const wanted = new URLSearchParams(location.search).get('tank');
  if (tanks.some(({ id }) => id === wanted)) { // from that tank's page
    byId('tank').value = wanted;
    byId('start').open = true;
  }
  describe();
  takePlan(new URLSearchParams(location.search));
  await fetchTrips();
}


begin(({ tanks: all }) => entitle(urgent(all)?.words ?? 'Trips'), () => true);
start().catch(told);
