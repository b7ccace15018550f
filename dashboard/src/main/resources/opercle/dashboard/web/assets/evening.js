// SPDX-License-Identifier: Apache-2.0
// Can I go to bed? Asked again by itself; an answer that has grown old is no answer.

import { el, keyed, onPointing, say, show } from './dom.js';
import { farmOrigins, tankOrigins } from './evening-origins.js';
import { ask, tell } from './feed.js';
import { begin, current, entitle } from './live.js';
import { urgent } from './state.js';
import { inOwnUnits } from './units.js';
import { wherePart } from './whence.js';
import { ageWords, dayAndClockWords, inFarmTime, minutesWords } from './words.js';

const EVERY = 10_000;
const TOO_OLD = 30_000;

/** Mark and word of each answer: told apart without colour. */
const MARKS = {
  yes: { mark: '✓', word: 'Yes' },
  no: { mark: '✕', word: 'No' },
  unknown: { mark: '?', word: 'Not known' },
};

const byId = (id) => document.getElementById(id);
let evening;
let askedAt = 0;
let trouble = '';
let response = new Map();
let seen = []; // the tanks as they were when they were checked
const farmWhere = wherePart();
byId('tested').after(farmWhere.root);

async function look() {
  try {
    evening = await ask('/api/v1/evening');
    askedAt = Date.now();
    seen = current().tanks;
    trouble = '';
    drawChecks();
  } catch (error) {
    trouble = error.message;
  }
  drawAnswer(Date.now());
}

function drawAnswer(at) {
  const old = !evening || at - askedAt > TOO_OLD;
  const answer = old ? 'unknown' : evening.canGoToBed ? 'yes' : 'no';
  byId('answer').dataset.answer = answer;
  say(byId('answer'), answerWords(answer));
  byId('evening').dataset.lost = String(old);
  say(byId('until'), untilWords(old));
  say(byId('age'), evening ? `Checked ${ageWords((at - askedAt) / 1000)}.` : '');
  show(byId('stale'), old && Boolean(evening));
  say(byId('trouble'), trouble);
  show(byId('trouble'), trouble !== '');
}

function answerWords(answer) {
  switch (answer) {
    case 'yes': return '✓ You can go to bed';
    case 'no': return '✕ Not yet';
    default: return evening || trouble ? '? Not known' : 'Asking whether you can go to bed';
  }
}

function untilWords(old) {
  if (!evening) {
    return '';
  }
  if (old) {
    return 'The check below is old. Look at the tanks yourself.';
  }
  const { canGoToBed, open, morning } = evening;
  const look = dayAndClockWords(Date.parse(morning));
  return canGoToBed
    ? `Until ${look}, when somebody looks again.`
    : `${open === 1 ? 'One thing' : `${open} things`} to see to. The next look is at ${look}.`;
}

function drawChecks() {
  drawList(byId('people'), evening.checks.filter(({ topic }) => topic === 'people'));
  drawList(byId('monitor'), evening.checks.filter(({ topic }) => topic !== 'people'));
  farmWhere.draw('this check', () => farmOrigins(evening));
  keyed(byId('tests'), evening.people, (name) => name, testButton, () => {});
  keyed(byId('tanks'), evening.tanks, ({ tank }) => tank, tankPart, drawTank);
}

const checkKey = ({ topic, words }) => `${topic} ${words}`;

function drawList(list, checks) {
  keyed(list, checks, checkKey, checkPart, () => {});
}

function checkPart({ answer, words, action }) {
  const { mark, word } = MARKS[answer] ?? MARKS.unknown;
  return el('li', { 'data-answer': answer },
    el('span', { class: 'mark', role: 'img', 'aria-label': word }, mark),
    el('div', {},
      el('p', { class: 'found' }, inFarmTime(inOwnUnits(words))),
      ...(action ? [el('p', { class: 'todo' }, `→ ${action}`)] : [])));
}

function tankPart({ tank, name }) {
  const id = `tank-${tank}`;
  const where = wherePart();
  const part = el('section', { 'aria-labelledby': id },
    el('div', { class: 'tank-head' },
      el('h2', { id }, el('a', { href: `/tank/${encodeURIComponent(tank)}` }, name)),
      el('p', { class: 'quiet' })),
    el('ul', { class: 'checks' }),
    el('details', {}, el('summary', {}), el('ul', { class: 'checks' })), where.root);
  const sentences = () => tankOrigins(seen.find((t) => t.id === tank), evening);
  onPointing(part, () => sentences().join(' '));
  part.where = () => where.draw(name, sentences);
  return part;
}

function drawTank(part, { tank, checks, inHandIfGasStopsLowMinutes: inHand }) {
  const open = checks.filter(({ answer }) => answer !== 'yes');
  const well = checks.filter(({ answer }) => answer === 'yes');
  const [openList, wellList] = part.querySelectorAll('ul');
  const needed = response.get(tank);
  say(part.querySelector('.tank-head p'), [
    ...(inHand === undefined ? [] : [`If gas stops: ${minutesWords(inHand)} at the least.`]),
    ...(needed === undefined ? [] : [`You need ${Math.ceil(needed)} min.`]),
  ].join(' '));
  drawList(openList, open);
  drawList(wellList, well);
  show(part.querySelector('details'), well.length > 0);
  part.where();
  say(part.querySelector('summary'),
    open.length === 0 ? `✓ All is well` : `✓ ${well.length} well`);
}

/** A test goes to every way that a person is called by. */
function testButton(name) {
  const button = el('button', { type: 'button' }, `Test ${name}`);
  button.addEventListener('click', async () => {
    button.disabled = true;
    let words = `A test is on its way to ${name}, by every channel. See that it arrives.`;
    try {
      await tell('POST', `/api/v1/people/${encodeURIComponent(name)}/test`, {});
    } catch (error) {
      words = error.message;
    }
    say(byId('tested'), words);
    show(byId('tested'), true);
    button.disabled = false;
    setTimeout(look, 2000);
  });
  return button;
}

begin((state, at) => {
  response = new Map(state.tanks.map(({ id, responseMinutes }) => [id, responseMinutes]));
  if (evening) {
    keyed(byId('tanks'), evening.tanks, ({ tank }) => tank, tankPart, drawTank);
  }
  drawAnswer(at);
  entitle(urgent(state.tanks)?.words ?? byId('answer').textContent);
}, () => true);
look();
setInterval(look, EVERY);
