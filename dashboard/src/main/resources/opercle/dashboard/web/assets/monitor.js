// SPDX-License-Identifier: Apache-2.0
// How the monitor itself is.

import { monitorOrigins } from './alarm-origins.js';
import { el, keyed, say, show } from './dom.js';
import { ask, tell } from './feed.js';
import { begin, current } from './live.js';
import { whoIsIt } from './name.js';
import { farmTime } from './state.js';
import { wherePart } from './whence.js';
import { ageWords, inFarmTime } from './words.js';

const EVERY = 5000;
const TOO_OLD = 15_000;
const GB = 1e9;
let answeredAt = Date.now();

const summary = document.getElementById('summary');
const [troubles, called, parts, heard] = ['troubles', 'called', 'parts', 'heard'].map((id) => document.getElementById(id));

const whence = wherePart();
document.getElementById('whence').append(whence.root);

const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);
const partWords = ({ well, words }, good) => (well ? good : capital(words ?? 'Not working'));

/** What there is to say of each part; what is not known here is left out. */
function rows({ intake, broker, store, disk, notTaken, listening }) {
  return [
    intake && ['Readings that come in', intake.readingsPerMinute === undefined
      ? `${intake.readings} since Opercle was started` : `${Math.round(intake.readingsPerMinute)} a minute`],
    intake && ['Looked at after', intake.behindSeconds < 1 ? 'Less than a second' : `${Math.round(intake.behindSeconds)} s`],
    intake?.dropped > 0 && ['Left out, because too many came at once', `${intake.dropped} readings`],
    ['Could not be used', notTaken.total === 0 ? 'Nothing' : `${notTaken.total} messages of probes`],
    broker && ['Hub that probes send to', partWords(broker, 'Connected')],
    store && ['Readings are written down', partWords(store, 'Yes')],
    disk && ['Room left on the disk', `${(disk.freeBytes / GB).toFixed(1)} of ${(disk.totalBytes / GB).toFixed(1)} GB`],
    ['Pages open now, everywhere', String(listening)],
  ].filter(Boolean);
}

function fill(list, pairs) {
  keyed(list, pairs, ([name]) => name,
    ([name]) => el('div', {}, el('dt', {}, name), el('dd', {})),
    (node, [, words]) => say(node.lastChild, words));
}

/** A trouble that people are called for: whoever sees to it says so, and the others may sleep. */
function calledItem() {
  const words = el('p', {});
  const have = el('button', { class: 'solid', type: 'button' }, 'I have it');
  const problem = el('p', { class: 'trouble', role: 'alert', hidden: '' });
  const node = el('li', {}, words, have, problem);
  let drawn;
  have.addEventListener('click', async () => {
    const by = await whoIsIt();
    if (!by) {
      return;
    }
    have.disabled = true;
    show(problem, false);
    try {
      await tell('POST', `/api/v1/monitor/troubles/${drawn.id}/have`, { by });
      await refresh();
    } catch (error) {
      say(problem, `Not noted. ${error.message}`);
      show(problem, true);
    } finally {
      have.disabled = false;
    }
  });
  node.draw = (one) => {
    drawn = one;
    say(words, inFarmTime(one.by ? `${one.by} has it: ${one.words}` : `People are called for it: ${one.words}`));
    show(have, one.by === undefined);
  };
  return node;
}

function draw(answer) {
  const when = farmTime(current(), Date.now());
  whence.draw('the monitor', () => monitorOrigins(when, answer));
  say(summary, answer.well ? 'The monitor is well'
    : answer.troubles.length === 1 ? 'One thing is wrong with the monitor' : `${answer.troubles.length} things are wrong with the monitor`);
  keyed(troubles, answer.troubles, ({ words, action }) => `${words} ${action}`,
    ({ words, action }) => el('li', {}, el('p', {}, inFarmTime(words)), el('p', {}, action)), () => {});
  keyed(called, answer.called, ({ id }) => id, calledItem, (node, one) => node.draw(one));
  fill(parts, rows(answer));
  fill(heard, answer.tanks.map(({ name, ageSeconds }) =>
    [name, ageSeconds === undefined ? 'Nothing yet' : ageWords(Math.max(0, ageSeconds))]));
}

/** An answer that has grown old is no answer: what stands below is marked and no longer called well. */
function drawOld() {
  const old = Date.now() - answeredAt > TOO_OLD;
  document.querySelector('main').dataset.stale = String(old);
  if (old) {
    say(summary, 'Not known: the monitor has not answered since what stands below');
  }
}

async function refresh() {
  try {
    draw(await ask('/api/v1/monitor'));
    answeredAt = Date.now();
  } catch {
    // it may be back at the next turn; meanwhile drawOld says how old the answer is
  }
  drawOld();
}

begin(() => {}, () => true);
setInterval(drawOld, 1000);
refresh();
setInterval(refresh, EVERY);
