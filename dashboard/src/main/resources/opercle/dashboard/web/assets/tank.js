// SPDX-License-Identifier: Apache-2.0
// One tank: now, what is in it, and what happened.

import { alarmList } from './alarm-list.js';
import { beliefs } from './belief.js';
import { el, keyed, renew, say, show } from './dom.js';
import { doneHere, doneWords } from './done-here.js';
import { facts } from './facts.js';
import { ask } from './feed.js';
import { adviceFor, learn } from './guide.js';
import { handPart } from './hand.js';
import { holdingPart } from './holding-part.js';
import { ahead, forecast } from './forecast.js';
import { begin, current, entitle } from './live.js';
import { markSteps } from './mark-steps.js';
import { alarmsOf, farmTime, isCalling, isStale, rank, rankWords, shapeOf, urgent } from './state.js';
import { followed, lastHours, moved, zoomed } from './span.js';
import { traceChart } from './trace-chart.js';
import { inOwn, own } from './trace-data.js';
import { traceOrigins } from './trace-point.js';
import { alarmTable, eventTable, traceTable } from './trace-table.js';
import { inOwnUnits, unitOf } from './units.js';
import { valuesPart } from './values.js';
import { heardOf, wherePart } from './whence.js';
import { causeWords, dayAndClockWords } from './words.js';

const POINTS = 1000;
const USUAL_HOURS = 24;
const REFRESH = 30_000;
const SETTLE = 250; // ask the store only once fingers rest

const id = decodeURIComponent(location.pathname.split('/')[2]);
const [hand, values, alarms] = [
  handPart(), valuesPart(), alarmList((alarm) => adviceFor(alarm), { acts: true })];
const rankShape = el('span', { class: 'shape', 'aria-hidden': 'true' });
const rankWord = el('span', {});
const stale = el('span', { class: 'stale', hidden: '' }, 'stale');
const ageText = el('span', {}, 'waiting for the first answer');
const list = el('dl', { class: 'facts' });
const band = el('div', { class: 'band' }, el('p', { class: 'rank' }, rankShape, rankWord),
  el('p', { class: 'age' }, stale, ageText));
const now = document.getElementById('now');
const details = document.getElementById('table');
const table = el('div', {}); // kept: what is read anew takes neither the focus nor the place that was scrolled to
details.append(table);
const trouble = document.getElementById('trouble');
const isElsewhere = (other) => other.id !== id;
holdingPart(document.getElementById('holding'), id);
const body = el('div', { class: 'body', hidden: '' }, hand.root, alarms.root, values.root);
now.append(band, body);
const told = document.getElementById('facts');
const belief = document.getElementById('belief');
told.append(list);

let tank;
let span;
let settling;
let asked = 0;
let past = []; // alarms in the span
let done = []; // what people did in the span

const iso = (s) => new Date(s * 1000).toISOString();
const seconds = () => farmTime(current(), Date.now()) / 1000;
const stretch = {
  span: () => span,
  ahead: () => ahead(span, tank && forecast(tank)),
  now: seconds,
  onSpan: look,
  onReset: () => look(lastHours(USUAL_HOURS, seconds())),
  marked: undefined,
};
const floors = () => [
  { value: tank.floors.keepMgPerL, words: `keep floor ${tank.floors.keepMgPerL.toFixed(1)}` },
  { value: tank.floors.criticalMgPerL, words: `critical floor ${tank.floors.criticalMgPerL.toFixed(1)}` },
];
const none = () => [];
const traces = [
  { quantity: 'oxygen', origin: 'oxygen', field: 'oxygenMgPerL', title: 'Oxygen, mg/L', unit: 'mg/L', decimals: 1,
    height: 300, floors, fromZero: true, leastSpan: 4, marksWords: true,
    forecast: () => (span?.following ? forecast(tank) : undefined) },
  { quantity: 'temperature', origin: 'temperature', field: 'temperatureC', title: `Water, ${unitOf('temperature')}`,
    unit: unitOf('temperature'), kind: 'temperature', decimals: 1, height: 150, floors: none, fromZero: false,
    leastSpan: 4 },
  { quantity: 'gas-flow', origin: 'gasFlow', field: 'gasFlowLPerMin', title: 'Gas, L/min at 15 °C', unit: 'L/min',
    decimals: 1, height: 150, floors: none, fromZero: true, leastSpan: 1 },
].map((what) => ({ alarms: () => past, events: () => done, ...what }))
  .map((what) => ({ ...what, chart: traceChart(what, stretch) }));

const steps = markSteps((second) => traces.forEach(({ chart }) => chart.point(second)));
const whence = wherePart();

function draw(state, at) {
  tank = state.tanks.find((t) => t.id === id) ?? tank;
  if (!tank) {
    return;
  }
  if (!state.tanks.some((t) => t.id === id)) {
    say(document.getElementById('summary'), `${tank.name} is not in the farm any more`);
    return;
  }
  const old = isStale(state, tank, at);
  const heard = heardOf(state, tank, at);
  now.dataset.stale = String(old);
  now.dataset.rank = rank(tank);
  now.dataset.open = String(isCalling(tank));
  say(document.getElementById('summary'), tank.name);
  const elsewhere = urgent(state.tanks.filter(isElsewhere));
  const here = rank(tank) === 'none' ? tank.name : `${rankWords(tank)}: ${tank.name}`;
  entitle(elsewhere ? `${elsewhere.words} · ${here}` : here);
  say(rankShape, shapeOf(tank));
  say(rankWord, state.lostAt && rank(tank) === 'none' ? 'Not known now' : rankWords(tank));
  say(ageText, heard.words);
  show(stale, heard.stale);
  show(body, true); // an empty rule of time could be read as no time
  show(told, true);
  show(document.getElementById('start-trip'), tank.kind === 'transport' && tank.loads?.length > 0);
  hand.draw(tank);
  values.draw(state, tank, at);
  alarms.draw(tank, alarmsOf(tank));
  fill(list, facts(tank));
  fill(belief.querySelector('dl'), beliefs(tank));
  belief.dataset.stale = String(old || Boolean(state.lostAt));
  show(belief, tank.state.belief !== undefined);
  if (span) {
    follow(state);
  } else {
    look(lastHours(USUAL_HOURS, state.now / 1000));
  }
}

const fill = (node, pairs) => keyed(node, pairs, ([heading]) => heading,
  ([heading]) => el('div', {}, el('dt', {}, heading), el('dd', {})),
  (row, [, sentence]) => say(row.lastChild, sentence));

function follow(state) {
  if (span.following) {
    span = followed(span, state.now / 1000);
    traces.forEach(({ chart, field, kind, origin }) => {
      const read = tank.state.origins?.[origin]?.time; // not read, not drawn
      chart.push(Date.parse(read) / 1000, own(kind, tank.state[field]));
    });
  }
}

function look(wanted, settle = SETTLE) {
  span = wanted;
  saveLinks.forEach(({ ending, node }) => {
    const query = new URLSearchParams({ from: iso(span.from), to: iso(span.to) });
    node.href = `/api/v1/tanks/${encodeURIComponent(id)}/readings.${ending}?${query}`;
  });
  hourButtons.forEach(({ hours, node }) => {
    const shown = span.following && Math.abs(span.to - span.from - hours * 3600) < 1;
    node.setAttribute('aria-pressed', String(shown));
  });
  traces.forEach(({ chart }) => chart.stretch());
  clearTimeout(settling);
  settling = setTimeout(fetchTraces, settle);
}

async function fetchTraces() {
  const { from, to } = span;
  const mine = ++asked;
  try {
    const answers = await Promise.all(traces.map(({ quantity }) => {
      const query = new URLSearchParams({ quantity, from: iso(from), to: iso(to), points: POINTS });
      return ask(`/api/v1/tanks/${encodeURIComponent(id)}/trace?${query}`);
    }));
    const [marks, deeds] = await Promise.all([pastAlarms(iso(from), iso(to)), pastEvents(iso(from), iso(to))]);
    if (mine === asked) { // a slow answer must not replace a later one
      past = marks;
      done = deeds;
      traces.forEach(({ chart, kind }, i) => chart.take(inOwn(kind, answers[i])));
      steps.draw(past, done);
      whence.draw('these traces', () => traceOrigins(answers[0], answers.flatMap(probesOf)));
      drawTable();
      show(trouble, false);
    }
  } catch (error) {
    say(trouble, `These traces are not the newest. ${error.message}`);
    show(trouble, true);
  }
}

/** The alarms of the span, for the time axis; none where no book of them is kept. */
async function pastAlarms(from, to) {
  const query = new URLSearchParams({ from, to });
  const { alarms: found } = await ask(`/api/v1/tanks/${encodeURIComponent(id)}/alarms?${query}`);
  return found.map(({ since, until, worst, cause }) => ({
    from: Date.parse(since) / 1000,
    to: until === undefined ? undefined : Date.parse(until) / 1000,
    worst,
    words: causeWords(cause),
  }));
}

/** What people did in the span; none where no book of it is kept. */
async function pastEvents(from, to) {
  const query = new URLSearchParams({ from, to });
  const { events } = await ask(`/api/v1/tanks/${encodeURIComponent(id)}/events?${query}`);
  return events.map(({ time, kind, by, words, writtenDown }) => ({
    at: Date.parse(time) / 1000,
    words: `${words ? inOwnUnits(words) : doneWords(kind)}${by ? ` (${by}${writtenDown ? `, written down ${dayAndClockWords(Date.parse(writtenDown))}` : ''})` : ''}`,
  }));
}

const QUANTITIES = { 'oxygen': 'oxygen', 'temperature': 'water', 'gas-flow': 'gas' };
const probesOf = ({ quantity, probes }) => probes.map(({ probe }) => `${QUANTITIES[quantity]} probe ${probe}`);

function drawTable() {
  if (details.open && traces.every(({ chart }) => chart.answer())) {
    renew(table, [traceTable(traces.map(({ title, decimals, chart }) =>
      ({ heading: title, decimals, answer: chart.answer() })), span), alarmTable(past), eventTable(done)]);
  }
}

function button(words, action) {
  const node = el('button', { type: 'button' }, words);
  node.addEventListener('click', () => span && action()); // nothing to move before the first answer
  return node;
}

const saveLinks = [['csv', 'CSV'], ['senml', 'SenML']].map(([ending, words]) => ({
  ending, node: el('a', { class: 'button', download: '', href: '#' }, words),
}));
const hourButtons = [[1, '1 h'], [6, '6 h'], [24, '24 h'], [168, '7 days'], [720, '30 days']].map(([hours, words]) => ({
  hours, node: button(words, () => look(lastHours(hours, seconds()), 0)), // no finger goes on after this
}));
document.getElementById('spans').append(
  ...hourButtons.map(({ node }) => node),
  button('Earlier', () => look(moved(span, -0.5, seconds()))),
  button('Later', () => look(moved(span, 0.5, seconds()))),
  button('Closer', () => look(zoomed(span, 0.5, 0.5, seconds()))),
  button('Wider', () => look(zoomed(span, 2, 0.5, seconds()))));
doneHere(document.getElementById('done'), id);
document.getElementById('start-trip').href = `/trips?tank=${encodeURIComponent(id)}`;
document.getElementById('plan-it').href = `/plan?tank=${encodeURIComponent(id)}`;
let setUp; // fetched only for who sets something up
let tries = 0;
async function setUpPart() {
  try {
    // By another address after a loss: a browser may keep that a module could not be fetched.
    setUp ??= import(`./tank-setup.js${tries++ === 0 ? '' : `?${tries}`}`).then(({ setUpHere }) => setUpHere(document.getElementById('set-up'), id));
    return await setUp;
  } catch {
    setUp = undefined;
    throw new Error('This part of the page could not be fetched. Press again; if that does not help, load the page anew.');
  }
}
for (const opener of document.querySelectorAll('#do-here button')) {
  opener.addEventListener('click', async () => {
    const notOpened = document.getElementById('not-opened');
    try {
      show(notOpened, false);
      await (await setUpPart()).open(opener.value, opener);
    } catch (error) {
      say(notOpened, error.message);
      show(notOpened, true);
    }
  });
}
document.getElementById('charts').append(steps.root, ...traces.map(({ chart }) => chart.root),
  whence.root,
  el('p', { id: 'save', class: 'save' }, 'Every reading of this time as a file: ',
    saveLinks[0].node, ' or ', saveLinks[1].node, '.'));
details.addEventListener('toggle', drawTable);
setInterval(() => span?.following && fetchTraces(), REFRESH);
learn();
begin(draw, isElsewhere);
