// SPDX-License-Identifier: Apache-2.0
// One trip: a check at a stop, the unloading, and what it all came to.

import { recall, remember } from './device.js';
import { el, keyed, labelled, onPointing, renew, renewed, say, show } from './dom.js';
import { clockField } from './farm-clock.js';
import { ask, askDrawing, askWith } from './feed.js';
import { begin, current, entitle } from './live.js';
import { photoField, photoLink, sendPhoto } from './photo.js';
import { farmTime, urgent } from './state.js';
import { onSubmit } from './trip-form.js';
import { sectionOrigins } from './trip-origins.js';
import { tankPrompt } from './trip-tank.js';
import { loadingForm } from './trip-loading.js';
import { withdrawButton } from './trip-withdrawal.js';
import { FISH, newId, putIn, putNumber, readNumber } from './trip-words.js';
import { amount, inOwnUnits, unitOf } from './units.js';
import { wherePart } from './whence.js';
import { clockWords, dayOfYearWords, zoneKnown } from './words.js';

const ADVICE = {
  'gasping': 'Give more gas now and stay with them. Look at the cylinder, the hose and the bubbles. Do not drive on before they are down.',
  'lying-over': 'Gas up, cold clean water if you have it, and call for help now. Do not drive on.',
};
const REFRESH = 30_000;
const PAPERS = 'Papers to look at';
const FIELDS = ['check-oxygen', 'check-water', 'check-gas', 'check-note'];

const byId = (id) => document.getElementById(id);
const id = decodeURIComponent(location.pathname.split('/')[2]);
const path = `/api/v1/trips/${encodeURIComponent(id)}`;
const draftKey = `check-${id}`;
let trip;
let words = 'Trip';

/** The farm's time; after the loading in any case, whatever the clocks of phone and server make of it. */
const now = () => new Date(
  Math.max(farmTime(current(), Date.now()), Date.parse(trip.loaded) + 1000)).toISOString();
const told = (error) => {
  say(byId('trouble'), inOwnUnits(error.message));
  show(byId('trouble'), true);
};

// --- what it came to

function draw(answer) {
  trip = answer;
  const { report } = trip;
  words = report.title;
  say(byId('title'), report.title);
  say(byId('subtitle'), report.subtitle);
  const going = !trip.unloaded && !trip.withdrawn && trip.takesEntries;
  withdrawal(trip);
  askTank(trip);
  show(byId('check'), going || correctsCheck !== undefined);
  show(byId('unloading'), going || correctsUnloading !== undefined);
  show(byId('saves'), true);
  [['report', `/trips/${encodeURIComponent(id)}/report`], ['pdf', `${path}/report.pdf`],
    ['csv', `${path}/readings.csv`], ['json', `${path}/trip.json`]].forEach(([name, href]) => {
    byId(name).href = href;
  });
  keyed(byId('report-parts'), report.sections, ({ heading }) => heading, sectionPart, (part, of) => part.draw(of));
  renewed(byId('written'), trip.entries, (entry) => entry.id, writtenPart);
  drawLosses();
  drawPicture().catch((error) => error.status || told(error)); // a trip may have none
}

/** In this device's units; gas is litres everywhere. */
const own = (heading, words) => (heading === 'Gas' ? words : inOwnUnits(words));

function sectionPart({ heading }) {
  const [body, where] = [el('div', {}), wherePart()];
  const origins = () => sectionOrigins(heading, trip);
  const part = el('section', {}, el('h2', {}, heading), body, ...(origins().length > 0 ? [where.root] : []),
    ...(heading === PAPERS ? [el('p', { class: 'row' }, el('a', { class: 'button', href: '/records' }, 'To the records of movements'))] : []));
  onPointing(body, () => origins().join(' '));
  part.draw = (of) => {
    renew(body, section(of));
    where.draw(`“${heading}”`, origins);
  };
  return part;
}

function section({ heading, facts, table, lines }) {
  const parts = [];
  if (facts.length > 0) {
    parts.push(el('dl', { class: 'told' }, ...facts.map((fact) =>
      el('div', {}, el('dt', {}, fact.label), el('dd', {}, own(heading, fact.words))))));
  }
  if (table.length > 0) {
    const [head, ...rows] = table;
    parts.push(el('div', { class: 'wide', tabindex: '0', role: 'region', 'aria-label': heading }, labelled(el('table', {},
      el('thead', {}, el('tr', {}, ...head.map((cell) => el('th', { scope: 'col' }, cell)))),
      el('tbody', {}, ...rows.map((row) => el('tr', {}, ...row.map((cell) => el('td', {}, own(heading, cell))))))))));
  }
  if (lines.length > 0) {
    parts.push(el('ul', { class: 'points' }, ...lines.map((line) => el('li', {}, own(heading, line)))));
  }
  return parts;
}

const value = (words, number, unit) => (number === undefined ? [] : [`${words} ${number} ${unit}`]);

/** What it says, so that a correction and what stood before can be told apart. */
function saidWords({ kind, why, fish, trip: run, oxygenMgPerL, temperatureC, gasLPerMin, losses, cylinderBar, note }) {
  switch (kind) {
    case 'withdrawn': return `the trip is withdrawn: ${why}`;
    case 'check': return inOwnUnits([`check: ${FISH.find(([name]) => name === fish)?.[1].toLowerCase()}`,
      ...value('oxygen', oxygenMgPerL, 'mg/L'), ...value('water', temperatureC, '°C'),
      ...value('gas set', gasLPerMin, 'L/min'), ...(note ? [note] : [])].join(', '));
    case 'loaded': return ['the fish went in',
      ...run.load.map(({ species, kg, count }) => `${amount('mass', kg)} of ${species.replaceAll('-', ' ')}${count ? ` in ${count} fish` : ''}`),
      ...(run.from || run.to ? [`${run.from || '–'} to ${run.to || '–'}`] : []), ...(run.vehicle ? [run.vehicle] : []),
      ...value('expected', run.expectedMinutes, 'min'), ...value('cylinder', run.cylinderBar, 'bar')].join(', ');
    default: return ['the fish went out',
      ...(losses ?? []).map(({ species, count, kg }) => `did not live: ${[...(count === undefined ? [] : [count]), ...(kg === undefined ? [] : [amount('mass', kg)])].join(', ')} ${species.replaceAll('-', ' ')}`),
      ...value('cylinder', cylinderBar, 'bar'), ...(note ? [note] : [])].join(', ');
  }
}

function entryWords(entry) {
  const { time, by, corrects } = entry;
  const what = saidWords(entry);
  return `${dayOfYearWords(Date.parse(time))}, ${clockWords(Date.parse(time))}, ${by}: ${what}${corrects ? ' (puts right what was written before)' : ''}`;
}

function writtenPart(entry) {
  const correct = CORRECT[entry.kind];
  const stands = !trip.entries.some(({ corrects }) => corrects === entry.id);
  const button = el('button', { type: 'button' }, 'Put this right');
  button.addEventListener('click', () => correct(entry));
  return el('li', {}, el('p', {}, entryWords(entry)),
    ...(trip.photos.includes(entry.id) ? [photoLink(checkPath(entry.id), `Picture: ${entryWords(entry)}`)] : []),
    ...(correct && stands && trip.takesEntries && !trip.withdrawn ? [el('p', {}, button)] : []));
}

/** The server draws it; here it only takes its place in the page, so that it has the page's light. */
async function drawPicture() {
  const drawing = new DOMParser().parseFromString(await askDrawing(`${path}/picture.svg`), 'image/svg+xml');
  renew(byId('picture'), [document.adoptNode(drawing.documentElement)]);
  show(byId('picture'), true);
}

// --- a check at a stop

const choices = FISH.map(([value, text]) =>
  el('label', {}, el('input', { type: 'radio', name: 'fish', value }), text));
byId('fish').append(...choices);
say(byId('check-water-label'), `Water, ${unitOf('temperature')}`);

const photo = photoField('check-photo');
byId('meters').querySelector('.trip-form').append(photo.node);
const checkPath = (check) => `${path}/checks/${encodeURIComponent(check)}`;

let checkId = newId();
let correctsCheck;
const checked = () => byId('check-form').querySelector('[name=fish]:checked')?.value;

function keepDraft() {
  const draft = { id: checkId, corrects: correctsCheck, temperatureC: putIn(byId('check-water')), fish: checked(), ...Object.fromEntries(FIELDS.map((field) => [field, byId(field).value])) };
  draft.sent = checkTime;
  const empty = !draft.fish && FIELDS.every((field) => draft[field] === '');
  remember(draftKey, empty ? '' : JSON.stringify(draft));
  show(byId('kept'), !empty);
}

function takeDraft() {
  try {
    const draft = JSON.parse(recall(draftKey) || '{}');
    FIELDS.forEach((field) => { byId(field).value = draft[field] ?? ''; });
    if (draft.temperatureC !== undefined) {
      putNumber(byId('check-water'), draft.temperatureC, 'temperature');
    }
    correctsCheck = draft.corrects;
    if (draft.sent) { // it may have arrived: it must stay the same check, at the same time
      [checkId, checkTime] = [draft.id, draft.sent];
    }
    drawCorrecting();
    const choice = byId('check-form').querySelector(`[value="${draft.fish}"]`);
    if (choice) {
      choice.checked = true;
    }
    byId('meters').open = FIELDS.some((field) => byId(field).value !== '');
    show(byId('kept'), Boolean(choice) || byId('meters').open);
  } catch {
    remember(draftKey, ''); // not one of ours
  }
}

function drawCorrecting() {
  say(byId('check-heading'), correctsCheck ? 'Put a check right' : 'At a stop');
  show(byId('check-not'), correctsCheck !== undefined);
}

/** The form with what was written, and the time at which that was seen. */
function correctCheck(entry) {
  correctsCheck = entry.id;
  [checkId, checkTime] = [newId(), entry.time];
  byId('check-form').reset();
  byId('check-form').querySelector(`[value="${entry.fish}"]`).checked = true;
  byId('check-oxygen').value = entry.oxygenMgPerL ?? '';
  putNumber(byId('check-water'), entry.temperatureC, 'temperature');
  byId('check-gas').value = entry.gasLPerMin ?? '';
  byId('check-note').value = entry.note ?? '';
  byId('meters').open = true;
  keepDraft();
  drawCorrecting();
  draw(trip);
  byId('check').scrollIntoView();
}

function anew() {
  [checkId, checkTime, correctsCheck] = [newId(), undefined, undefined];
  byId('check-form').reset();
  keepDraft();
  byId('meters').open = false;
  drawCorrecting();
}

/** Sends an entry; as the correction of another where it is one. */
const write = (where, kind, corrects, entry) => (corrects === undefined
  ? askWith(`${path}/${where}`, entry) : askWith(`${path}/corrections`, { ...entry, kind, corrects }));

const optional = (name, value) => (value === undefined || value === '' ? {} : { [name]: value });

let checkTime; // kept with the draft once it was sent, so that a form sent again is the same check

async function writeCheck(by) {
  if (!checked()) {
    throw new Error('Say how the fish are first.');
  }
  const fish = checked();
  const said = {
    by, fish,
    ...optional('oxygenMgPerL', readNumber(byId('check-oxygen'), 'Oxygen')),
    ...optional('temperatureC', readNumber(byId('check-water'), 'Water', 'temperature')),
    ...optional('gasLPerMin', readNumber(byId('check-gas'), 'Gas set')),
    ...optional('note', byId('check-note').value.trim()),
  };
  checkTime ??= now(); // only now: a number that will not do dates nothing
  keepDraft();
  let answer = await write('checks', 'check', correctsCheck, { id: checkId, time: checkTime, ...said });
  const pictured = await sendPhoto(photo.input, checkPath(checkId), by);
  if (pictured) {
    answer = await ask(path);
  }
  if (photo.input.value === '') { // a picture that did not arrive is sent again by the same button
    anew();
  }
  say(byId('done'), `Written down: ${FISH.find(([name]) => name === fish)[1].toLowerCase()} (${by}).${pictured}`);
  say(byId('advice'), ADVICE[fish] ?? '');
  show(byId('advice'), fish in ADVICE);
  draw(answer);
}

// --- the fish go out

function drawLosses() {
  if (byId('losses').children.length > 0) {
    return;
  }
  const kinds = [...new Map(trip.load.map((l) => [l.species, l])).values()];
  byId('losses').append(...kinds.flatMap(({ species, name }) => [
    lossField(`lost-${species}`, `Did not live, ${name}`, { inputmode: 'numeric', 'data-species': species }),
    lossField(`lost-kg-${species}`, `Or weighed, ${unitOf('mass')}`, { inputmode: 'decimal', 'data-weighed': species }),
  ]));
}

const lossField = (of, label, attributes) => el('div', { class: 'field' },
  el('label', { for: of }, label), el('input', { id: of, autocomplete: 'off', ...attributes }));

let outId = newId();
let outTime;
let correctsUnloading;
let lost = []; // as the unloading that is put right has them

function correctUnloading(entry) {
  correctsUnloading = entry.id;
  [outId, outTime] = [newId(), entry.time];
  outClock.put(Date.parse(entry.time));
  lost = entry.losses ?? [];
  byId('losses').querySelectorAll('[data-species]').forEach((field) => {
    const { count, kg } = lost.find(({ species }) => species === field.dataset.species) ?? {};
    field.value = count ?? '';
    putNumber(byId(`lost-kg-${field.dataset.species}`), kg, 'mass');
  });
  byId('end-bar').value = entry.cylinderBar ?? '';
  byId('end-note').value = entry.note ?? '';
  byId('unloading').open = true;
  draw(trip);
  byId('unloading').scrollIntoView();
}

const loading = loadingForm(byId('loading'));

function correctLoading(entry) {
  loading.fill(entry);
  byId('loading').scrollIntoView();
}

async function putLoadingRight(by) {
  draw(await askWith(`${path}/corrections`, loading.read(by)));
  loading.close();
  say(byId('done'), `The loading is put right (${by}). ${trip.unloaded || trip.kind !== 'road' ? '' : 'The tank’s record goes along with it. '}What stood before stays below, under everything that was written.`);
}

const askTank = tankPrompt(byId('tank-load'), path, draw, told);
const withdrawal = withdrawButton(byId('withdraw'), path, now, draw, told);

const CORRECT = { loaded: correctLoading, check: correctCheck, unloaded: correctUnloading };

// Empty is now: at the water the button is pressed as the last fish goes.
const outClock = clockField('out-time', 'When, if not just now');
byId('out-at').append(...outClock.nodes);

/** Of each kind as they were counted, weighed, or both; of a kind that is not in the load, as it was. */
function losses() {
  const fields = [...byId('losses').querySelectorAll('[data-species]')];
  const said = fields.map((field) => {
    const { species } = field.dataset;
    return { species, ...optional('count', readNumber(field, 'Did not live')),
      ...optional('kg', readNumber(byId(`lost-kg-${species}`), 'Weighed', 'mass')) };
  }).filter(({ count, kg }) => count !== undefined || kg !== undefined); // none is said, not left out
  return [...said, ...lost.filter(({ species }) => !fields.some((field) => field.dataset.species === species))];
}

/** An empty tank calls nobody: whoever has fish left in it must know. */
const emptied = ({ kind, tankName }) => (kind === 'road'
  ? ` ${tankName} is written down as empty of this load and calls nobody for it: if fish are still in it, put them in again on the tank’s page.` : '');

async function unload(by) {
  outTime = outClock.input.value === '' ? outTime ?? now() : outClock.read();
  const answer = await write('unloading', 'unloaded', correctsUnloading, {
    id: outId, time: outTime, by, losses: losses(),
    ...optional('cylinderBar', readNumber(byId('end-bar'), 'Cylinder')),
    ...optional('note', byId('end-note').value.trim()),
  });
  [outId, outTime, correctsUnloading] = [newId(), undefined, undefined];
  outClock.input.value = '';
  lost = [];
  say(byId('done'), `The trip has ended (${by}).${emptied(answer)} Below is what it came to.`);
  draw(answer);
}

const listen = (form, work) => onSubmit(form, work, byId('trouble'), told);

listen(byId('check-form'), writeCheck);
listen(byId('unload-form'), unload);
byId('unload-form').addEventListener('input', () => {
  outId = newId(); // what is changed is another entry
  outTime = correctsUnloading && trip?.entries.find((entry) => entry.id === correctsUnloading)?.time;
});
listen(loading.form, putLoadingRight);
byId('check-form').addEventListener('input', ({ target }) => {
  if (target === photo.input) {
    return;
  }
  checkId = newId(); // what is changed is another check
  checkTime = correctsCheck && trip?.entries.find((entry) => entry.id === correctsCheck)?.time;
  keepDraft();
});
byId('check-not').addEventListener('click', () => {
  anew();
  draw(trip);
});
takeDraft();
const refresh = () => ask(path).then(draw, told);
setInterval(() => trip && !trip.unloaded && !trip.withdrawn && refresh(), REFRESH);
begin(({ tanks }) => entitle(urgent(tanks)?.words ?? words), () => true);
zoneKnown.then(refresh);
