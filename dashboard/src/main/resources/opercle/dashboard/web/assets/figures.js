// SPDX-License-Identifier: Apache-2.0
// How good are our alarms? The figures of a week beside what they should be.

import { figuresOrigins } from './alarm-origins.js';
import { el, keyed, labelled, say, show } from './dom.js';
import { ask } from './feed.js';
import { begin, nameOf } from './live.js';
import { wherePart } from './whence.js';
import { causeWords, dayAndClockWords, weekWords } from './words.js';

const MARKS = { 'good': '', 'worse': '●', 'bad': '■', 'not-judged': '' };
const SPOKEN = { 'worse': 'worse than it should be: ', 'bad': 'beyond the limit: ' };
const WAS = {
  'true': 'There was something to do.',
  'false': 'There was nothing to do.',
  'not-said': 'Nobody has said whether there was something to do.',
};

const trouble = document.getElementById('trouble');
const before = document.getElementById('before');
const after = document.getElementById('after');
let shown;
const whence = wherePart();
document.getElementById('whence').append(whence.root);

const words = (alarm) => `${nameOf(alarm.tank)}: ${causeWords(alarm.cause)}`;

function draw(answer) {
  shown = answer;
  const over = answer.until === answer.to;
  say(document.getElementById('span'),
    `The week from ${weekWords(answer.week)}${over ? '' : `, so far: to ${dayAndClockWords(Date.parse(answer.until))}`}`);
  keyed(document.getElementById('rows'), answer.rows, ({ id }) => id, row, (node, figure) => node.draw(figure));
  labelled(document.querySelector('.figures'));
  keyed(document.getElementById('wakings'), answer.wakings, ({ time }) => time,
    () => el('li', {}, el('p', {}), el('p', { class: 'quiet' })),
    (node, { time, was, alarms }) => {
      say(node.firstChild, `${dayAndClockWords(Date.parse(time))}. ${alarms.map(words).join('; ')}.`);
      say(node.lastChild, WAS[was]);
    });
  keyed(document.getElementById('frequent'), answer.mostFrequent, words,
    (alarm) => el('div', {}, el('dt', {}, words(alarm)), el('dd', {})),
    (node, { calls, share }) => say(node.lastChild, `${calls === 1 ? 'one call' : `${calls} calls`}, ${(100 * share).toFixed(0)} % of all`));
  show(document.getElementById('wakings-part'), answer.wakings.length > 0);
  show(document.getElementById('frequent-part'), answer.mostFrequent.length > 0);
  after.disabled = !over;
  whence.draw('this week', () => figuresOrigins(answer));
}

function row() {
  const measure = el('th', { scope: 'row' });
  const mark = el('span', { class: 'shape', 'aria-hidden': 'true' });
  const spoken = el('span', { class: 'unseen' });
  const value = el('span', {});
  const expected = el('td', {});
  const source = el('td', { class: 'quiet' });
  const node = el('tr', {}, measure, el('td', {}, mark, spoken, value), expected, source);
  node.draw = (figure) => {
    node.dataset.verdict = figure.verdict;
    say(measure, figure.measure);
    say(mark, MARKS[figure.verdict] ?? '');
    say(spoken, SPOKEN[figure.verdict] ?? '');
    say(value, figure.value);
    say(expected, figure.expected);
    say(source, figure.source);
  };
  return node;
}

async function look(week) {
  try {
    draw(await ask(`/api/v1/alarms/figures${week ? `?week=${week}` : ''}`));
    show(trouble, false);
  } catch (error) {
    say(trouble, `The figures are not shown. ${error.message}`);
    show(trouble, true);
  }
}

before.addEventListener('click', () => shown && look(shown.before));
after.addEventListener('click', () => shown && look(shown.after));
let begun = false;
begin((state) => {
  if (!begun && state.now && state.farm) { // only then do the tanks have names
    begun = true;
    look();
  }
}, () => true);
