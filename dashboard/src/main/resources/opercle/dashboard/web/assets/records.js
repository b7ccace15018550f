// SPDX-License-Identifier: Apache-2.0
// The records: what runs out, a movement with what its papers lack, corrections, traces, a register.

import { recall, remember } from './device.js';
import { el, labelled, say, show } from './dom.js';
import { ask, askWith } from './feed.js';
import { begin, current } from './live.js';
import { whoIsIt } from './name.js';
import { askWhy, entryForm, newId } from './records-form.js';
import { followForm } from './records-follow.js';
import { farmTime } from './state.js';
import { amount, inOwnUnits } from './units.js';
import { dateWords, dayAndClockWords } from './words.js';

const byId = (id) => document.getElementById(id);
const DRAFT = 'movement-draft';
const SOON = 30;

let records = { entries: [], runsOut: [] };
let year;
let draftId = newId();
let corrects;
let filled; // the entry that is corrected, as it was kept

const of = (kind) => records.entries.filter((entry) => entry.kind === kind);
let named = new Set(); // by the movement in the form: of what was withdrawn only that is offered
const gone = (kind) => (records.withdrawnEntries ?? []).filter((entry) => entry.kind === kind && named.has(entry.id));
const choicesOf = (kind) => () => [...of(kind).map(({ id, title }) => [id, title]),
  ...gone(kind).map(({ id, title }) => [id, `${title} (withdrawn)`])];
const offerNamed = (fields) => {
  named = new Set(Object.values(fields).flat());
  movement.offer();
};

/** Those of the farm, and those that a water was written down with and that are gone. */
const tankChoices = () => {
  const there = current().tanks.map(({ id, name }) => [id, name]);
  const gone = [...new Set(of('water').map(({ fields }) => fields.tank))]
    .filter((id) => id && !there.some(([known]) => known === id));
  return [...there, ...gone.map((id) => [id, `${id}, no longer in the farm`])];
};

const WATERS = [['pond', 'Pond of a farm'], ['tank', 'Tank of a farm'], ['fishery', 'Fishery'],
  ['open-water', 'River, canal, other water'], ['garden-pond', 'Garden pond']];
const CONNECTIONS = [['connected', 'Inlet, outlet, or floods'], ['enclosed', 'None of these']];
const PAPERS = [['farm-authorisation', 'Farm authorisation'], ['fishery-registration', 'Fishery registration'],
  ['site-permit', 'Site permit'], ['supplier-permit', 'Supplier permit'],
  ['transporter-authorisation', 'Transporter authorisation'], ['netting-authorisation', 'Netting authorisation'],
  ['species-licence', 'Species licence'], ['other', 'Another paper']];

const note = { name: 'note', label: 'Note', is: 'long' };
const choice = (name, label, choices, blank) => ({ name, label, is: 'choice', choices, blank });
const plain = (name, label, is = 'text') => ({ name, label, is });

const OTHERS = [
  ['water', 'A water', [plain('name', 'Name'), choice('type', 'What it is', () => WATERS),
    plain('site', 'Site'), choice('tank', 'Which tank of this farm', tankChoices, 'none of them'), plain('place', 'Grid reference or address'),
    choice('holder', 'Whose it is', choicesOf('party'), 'ours'),
    choice('connection', 'Water in or out', () => CONNECTIONS), note]],
  ['party', 'A supplier, customer or carrier', [plain('name', 'Name'), plain('contact', 'How to reach them'), note]],
  ['permit', 'A permit, registration or licence', [choice('type', 'What it is', () => PAPERS),
    plain('reference', 'Number on it'), choice('water', 'For the water', choicesOf('water')),
    choice('party', 'Whose it is', choicesOf('party'), 'ours'), plain('from', 'First day', 'day'),
    plain('until', 'Last day, if it has one', 'day'), plain('seen', 'Document last looked at', 'day'), note]],
  ['health-check', 'A health check', [plain('reference', 'Number of the report'),
    choice('water', 'Fish of the water', choicesOf('water')), plain('species', 'Kind of fish'),
    plain('sampled', 'Day of the sample', 'day'), plain('consultant', 'Made by'),
    plain('until', 'Last day, if the report names one', 'day'), note]],
  ['health-rule', 'For how long a health check counts', [
    plain('farmedTroutAndSalmonMonths', 'Trout and salmon of a farm, months', 'whole'),
    plain('otherMonths', 'All other fish, months', 'whole')]],
  ['retention-rule', 'For how long records are kept', [
    plain('years', 'After the end of their year, years', 'whole')]],
];

const MOVEMENT = [
  ['Fish', [plain('species', 'Kind of fish'), plain('count', 'How many', 'whole'),
    plain('kg', 'All together', 'mass'), plain('died', 'Died on the way', 'whole')]],
  ['Way', [choice('from', 'From', choicesOf('water'), 'counted in'),
    choice('to', 'To', choicesOf('water'), 'died, or gone otherwise'),
    plain('departs', 'Leaving', 'time'), plain('arrives', 'Arriving', 'time'),
    choice('carrier', 'Carried by', choicesOf('party'), 'ourselves'),
    plain('vehicle', 'Vehicle and tanks'), plain('distanceKm', 'By road, km', 'number')]],
  ['Papers', [choice('supplier', 'Supplied by', choicesOf('party'), 'ourselves'),
    choice('receiver', 'Received by', choicesOf('party')),
    { name: 'permits', label: 'Permits', is: 'ticks', choices: choicesOf('permit') },
    { name: 'healthChecks', label: 'Health checks', is: 'ticks', choices: choicesOf('health-check') },
    plain('consignmentNote', 'Consignment note'), plain('advanceNotice', 'Advance notice: reference, when sent')]],
  ['Notes', [plain('disinfection', 'Cleaned and disinfected: what, where, when, with what, by whom', 'long'),
    plain('waterChanged', 'Water changed on the way: where, from where, where the old went', 'long'), note]],
];
const movement = entryForm(byId('movement'), MOVEMENT, changed);

function changed() {
  draftId = newId(); // what is changed is another entry
  remember(DRAFT, JSON.stringify({ id: draftId, corrects, filled, fields: movement.draft() }));
  show(byId('prompts-part'), false); // what was looked at is another movement now
}

function restore() {
  try {
    const draft = JSON.parse(recall(DRAFT) ?? '');
    draftId = draft.id;
    corrects = draft.corrects;
    filled = draft.filled;
    offerNamed({ ...filled, ...draft.fields });
    movement.fill(filled ?? {});
    movement.restore(draft.fields);
  } catch {
    // no draft
  }
  drawCorrecting();
}

function empty() {
  draftId = newId();
  corrects = undefined;
  filled = undefined;
  movement.fill({});
  remember(DRAFT, '');
  show(byId('prompts-part'), false);
  drawCorrecting();
}

function drawCorrecting() {
  say(byId('correcting'), corrects
    ? `This corrects ${inOwnUnits(corrects.title)}: ${corrects.why}. Both stay readable.` : '');
  show(byId('correcting'), corrects !== undefined);
}

/** Does something and says what came of it. */
async function acting(button, act) {
  show(byId('trouble'), false);
  show(byId('done'), false);
  button.disabled = true;
  try {
    const said = await act();
    if (said) {
      say(byId('done'), said);
      show(byId('done'), true);
    }
  } catch (error) {
    say(byId('trouble'), `Not done. ${inOwnUnits(error.message)}`);
    show(byId('trouble'), true);
    byId('trouble').scrollIntoView({ block: 'center' });
  } finally {
    button.disabled = false;
  }
}

const pressed = (button, act) => button.addEventListener('click', () => acting(button, act));

pressed(byId('look'), async () => {
  const { prompts, sourcesCheckedOn } = await askWith('/api/v1/records/check', { fields: movement.read() });
  byId('prompts').replaceChildren(...prompts.map(({ words, source, mark }) =>
    el('li', {}, el('p', {}, words), el('p', { class: 'quiet' }, `${source} [${mark}]`))));
  say(byId('prompts-heading'), prompts.length > 0 ? 'To look at before it is kept' : 'Nothing is missing that we ask for');
  say(byId('checked-on'), `These lines are of ${sourcesCheckedOn}, from stored copies that may not be the newest. The law changes, and your permits come first; you decide.`);
  show(byId('prompts-part'), true);
});

pressed(byId('keep'), async () => {
  const by = await whoIsIt();
  if (!by) {
    return '';
  }
  await askWith('/api/v1/records/entries', {
    id: draftId, by, kind: 'movement', fields: movement.read(),
    ...(corrects ? { corrects: corrects.id, why: corrects.why } : {}),
  });
  empty();
  await load();
  return 'Kept.';
});

byId('clear').addEventListener('click', empty);

async function correct(entry) {
  const why = await askWhy(`Correct ${inOwnUnits(entry.title)}`);
  if (!why) {
    return;
  }
  if (entry.kind === 'movement') {
    filled = entry.fields;
    offerNamed(filled);
    movement.fill(filled);
    corrects = { id: entry.id, title: entry.title, why };
    changed();
    drawCorrecting();
    byId('new-part').scrollIntoView();
  } else {
    others.find(({ kind }) => kind === entry.kind).correct(entry, why);
  }
}

async function withdraw(entry) {
  const why = await askWhy(`${inOwnUnits(entry.title)} was never to be recorded`);
  const by = why ? await whoIsIt() : '';
  if (!by) {
    return '';
  }
  await askWith('/api/v1/records/entries', {
    id: newId(), by, kind: entry.kind, fields: entry.fields, corrects: entry.id, why, withdraws: true,
  });
  await load();
  return 'Withdrawn; it stays readable.';
}

function button(words, act) {
  const node = el('button', { type: 'button' }, words);
  pressed(node, act);
  return node;
}

const fieldsOf = (kind) => (kind === 'movement' ? MOVEMENT.flatMap(([, fields]) => fields) : OTHERS.find(([name]) => name === kind)?.[2] ?? []);

/** A value of a field as a person reads it on this device; other entries by what they are called. */
function valueWords(field, given) {
  if (given === undefined || (Array.isArray(given) && given.length === 0)) {
    return 'nothing';
  }
  if (Array.isArray(given)) {
    return given.map((one) => valueWords(field, one)).join(', ');
  }
  if (['mass', 'volume', 'temperature'].includes(field?.is)) {
    return amount(field.is, Number(given), 2);
  }
  if (/^\d{4}-\d\d-\d\dT/.test(given)) {
    return dayAndClockWords(Date.parse(given));
  }
  if (/^\d{4}-\d\d-\d\d$/.test(given)) {
    return dateWords(given);
  }
  const chosen = field?.is === 'choice' ? field.choices().find(([value]) => value === given)?.[1] : undefined;
  return chosen ?? [...records.entries, ...(records.withdrawnEntries ?? [])].find(({ id }) => id === given)?.title
    ?? (['choice', 'ticks'].includes(field?.is) ? 'one that is no longer here' : inOwnUnits(String(given))); // its id says nothing to anybody
}

/** What a version says otherwise than the one before it. */
function changedWords(kind, fields, before) {
  const names = [...new Set([...Object.keys(before), ...Object.keys(fields)])]
    .filter((name) => JSON.stringify(before[name]) !== JSON.stringify(fields[name]));
  const field = (name) => fieldsOf(kind).find((one) => one.name === name);
  return names.map((name) => `${field(name)?.label ?? 'More'}: ${valueWords(field(name), before[name])} → ${valueWords(field(name), fields[name])}`).join('; ');
}

function versionWords(kind, { at, by, why, withdraws, title, fields }, before) {
  const changed = before && !withdraws ? changedWords(kind, fields, before.fields) : '';
  return `${inOwnUnits(title)}. ${dayAndClockWords(Date.parse(at))}, ${by}${why ? `; ${withdraws ? 'withdrawn' : 'corrected'}: ${why}` : ''}${changed ? `. ${changed}` : ''}`;
}

function versions(entry) {
  return entry.versions.length < 2 ? [] : [el('details', {},
    el('summary', {}, `${entry.versions.length} versions`),
    el('ul', {}, ...entry.versions.map((version, i) => el('li', {}, versionWords(entry.kind, version, entry.versions[i - 1])))))];
}

/** What its papers lack, or lacked when it was looked at; the person decides. */
const promptsPart = (prompts = []) => prompts.length === 0 ? [] : [el('details', {},
  el('summary', { class: 'soon' }, prompts.length === 1 ? 'One thing to look at' : `${prompts.length} things to look at`),
  el('ul', {}, ...prompts.map((words) => el('li', {}, words))))];

function movementPart(entry) {
  const { fields, overdrawn, withdrawn } = entry;
  const weight = fields.kg === undefined ? '' : `, ${amount('mass', fields.kg)}`;
  const number = fields.count === undefined ? '' : `${fields.count} `;
  return el('li', {},
    el('p', withdrawn ? { class: 'gone' } : {}, `${number}${fields.species}${weight}: ${entry.fromName ?? 'counted in'} → ${entry.toName ?? 'died or gone'}`),
    el('p', { class: 'quiet' }, `${dayAndClockWords(Date.parse(fields.departs))} to ${dayAndClockWords(Date.parse(fields.arrives))}; recorded by ${entry.versions.at(-1).by}`),
    ...(withdrawn ? [el('p', {}, 'Withdrawn')] : []),
    ...(overdrawn ? [el('p', { class: 'soon' }, `Took ${overdrawn.took}; the books hold ${Math.round(overdrawn.held)} there.`)] : []),
    ...(entry.papersNotLookedAt ? [el('p', { class: 'quiet' }, 'Its papers are not looked at here; those of the year’s newest 200 movements are.')] : promptsPart(entry.prompts)),
    ...versions(entry),
    ...(withdrawn ? [] : [el('div', { class: 'row' },
      button('Where from', () => trace(`movement=${entry.id}&way=backwards`, `Where ${entry.title} came from`)),
      button('Where to', () => trace(`movement=${entry.id}&way=forwards`, `Where ${entry.title} went`)),
      button('Correct', () => correct(entry)),
      button('Withdraw', () => withdraw(entry)))]));
}

const fishWords = (fish, perhaps) => perhaps && fish < 0.5 ? 'perhaps some' : `about ${+fish.toFixed(fish < 10 ? 1 : 0)}${perhaps ? ', perhaps more' : ''}`;

async function trace(query, title) {
  const { trace: found } = await ask(`/api/v1/records/trace?${query}`);
  say(byId('trace-heading'), inOwnUnits(title));
  say(byId('trace-words'), [`${+found.fish.toFixed(0)} fish followed.`,
    found.died > 0.5 ? `Died or left the books: about ${found.died.toFixed(0)}.` : '',
    found.notKnown > 0.5 ? `Not known from where: about ${found.notKnown.toFixed(0)}.` : ''].filter(Boolean).join(' '));
  byId('steps').replaceChildren(...found.steps.map((step) => el('tr', {},
    el('td', {}, dayAndClockWords(Date.parse(step.departs))), el('td', {}, step.fromName ?? 'counted in'),
    el('td', {}, step.toName ?? 'died or gone'), el('td', {}, inOwnUnits(step.title)),
    el('td', {}, fishWords(step.likelyFish, step.perhaps)))));
  labelled(byId('steps').closest('table'));
  const toCome = found.steps.some(({ arrives }) => Date.parse(arrives) > farmTime(current(), Date.now()));
  byId('trace-ends').replaceChildren(...found.ends.map((end) => el('li', {},
    `${end.name}: ${fishWords(end.likelyFish, end.perhaps)} ${end.species}${found.way === 'backwards' ? ', first counted in there' : toCome ? ', there by the books once what is still to come has been made' : ', there now by the books'}`)));
  show(byId('trace-part'), true);
  byId('trace-heading').focus();
}

function endPart({ title, about, last, daysLeft, byRule }) {
  const when = daysLeft < 0 ? `ended ${-daysLeft} days ago` : daysLeft === 0 ? 'ends today' : `${daysLeft} days left`;
  return el('li', {},
    el('p', daysLeft < SOON ? { class: 'soon' } : {}, `${dateWords(last)}: ${title}, ${when}`),
    el('p', { class: 'quiet' }, [about ?? 'of this farm', byRule ? 'reckoned from the sample' : ''].filter(Boolean).join('; ')));
}

function knownPart(entry) {
  return el('li', {}, el('p', {}, entry.title), ...versions(entry), el('div', { class: 'row' },
    ...(entry.kind === 'water' ? [
      button('Fish from where', () => trace(`water=${entry.id}&way=backwards`, `Where the fish of ${entry.title} came from`))] : []),
    ...(others.some(({ kind }) => kind === entry.kind) ? [button('Correct', () => correct(entry))] : []),
    button('Withdraw', () => withdraw(entry))));
}

const others = OTHERS.map(([kind, title, fields]) => {
  const form = el('form', { novalidate: '', autocomplete: 'off' });
  const entry = entryForm(form, [[title, fields]], () => {
    id = newId(); // what is changed is another entry
  });
  const correcting = el('p', { class: 'trouble', role: 'status', hidden: '' });
  const part = el('details', {}, el('summary', {}, title), correcting, form);
  let id;
  let wrong;
  const start = (corrected, why) => {
    id = newId();
    wrong = corrected && { corrects: corrected.id, why };
    entry.fill({});
    say(correcting, corrected ? `This corrects ${inOwnUnits(corrected.title)}: ${why}. Both stay readable.` : '');
    show(correcting, corrected !== undefined);
  };
  const clear = el('button', { type: 'button' }, 'Empty the form');
  clear.addEventListener('click', () => start());
  form.append(el('div', { class: 'row' }, button('Keep', async () => {
    const by = await whoIsIt();
    if (!by) {
      return '';
    }
    await askWith('/api/v1/records/entries', { id, by, kind, fields: entry.read(), ...wrong });
    start();
    await load();
    return 'Kept.';
  }), clear));
  byId('others').append(part);
  start();
  return {
    kind,
    offer: entry.offer,
    correct: (corrected, why) => {
      start(corrected, why);
      entry.fill(corrected.fields);
      part.open = true;
      part.scrollIntoView();
    },
  };
});

const follow = followForm(byId('follow'), choicesOf('water'));
for (const [id, way] of [['follow-back', 'backwards'], ['follow-on', 'forwards']]) {
  pressed(byId(id), () => trace(...follow.asked(way)));
}

async function load() {
  records = await ask('/api/v1/records');
  year ??= Number(records.today.slice(0, 4));
  const { movements } = await ask(`/api/v1/records/movements?year=${year}`);
  movement.offer();
  follow.offer();
  others.forEach((form) => form.offer());
  byId('ends').replaceChildren(...records.runsOut.map(endPart));
  show(byId('no-ends'), records.runsOut.length === 0);
  byId('known').replaceChildren(...records.entries.map(knownPart));
  say(byId('year'), String(year));
  byId('csv').href = `/api/v1/records/register.csv?year=${year}`;
  byId('given-csv').href = `/api/v1/records/given.csv?year=${year}`;
  byId('sheet').href = `/records/register?year=${year}`;
  byId('movements').replaceChildren(...movements.map(movementPart));
  show(byId('no-movements'), movements.length === 0);
  byId('keep').disabled = !records.writable;
}

const turn = (by) => async () => {
  year += by;
  await load();
};
pressed(byId('year-before'), turn(-1));
pressed(byId('year-after'), turn(1));

let begun = false;
begin((state) => {
  if (!begun && state.now) {
    begun = true;
    acting(byId('look'), async () => {
      await load();
      restore();
    });
  }
}, () => true);
