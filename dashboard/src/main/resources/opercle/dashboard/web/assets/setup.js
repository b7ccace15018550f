// SPDX-License-Identifier: Apache-2.0
// Tanks, the fish in them, and the probes that feed them: set up while everything runs.

import { el, keyed, say, show } from './dom.js';
import { ask, askWith, tell } from './feed.js';
import { begin, current } from './live.js';
import { whoIsIt } from './name.js';
import { peopleList } from './setup-people.js';
import { tankList } from './setup-tanks.js';
import { topicList } from './setup-topics.js';
import { farmTime } from './state.js';
import { inOwnUnits } from './units.js';
import { ageWords, dayAndClockWords, inFarmTime, zoneKnown } from './words.js';

const EVERY = 2000;
const OLD_AFTER = 15; // seconds without an answer
const byId = (id) => document.getElementById(id);
const own = (sentence) => inFarmTime(inOwnUnits(sentence));
const tanks = tankList(byId('tanks'), byId('new-tank'), act);
const topics = topicList(act);
const people = peopleList(byId('people-part'), act, (words) => say(byId('said'), words), failed);
let newest; // what was read last, and when
let readAt = 0;
let started = false;
let asking = false;
let again = false;

/**
 * Does what somebody asks for, and says so; false if they turned back at their name.
 *
 * @param does by whom: what to send, as method, path and body
 * @throws what the server refuses, said already at the top where it is about no field
 */
async function act(does, said) {
  const by = await whoIsIt();
  if (!by) {
    return false;
  }
  show(byId('trouble'), false);
  try {
    const { method, path, body } = does(by);
    await tell(method, path, body);
    say(byId('said'), said);
    await Promise.all([look(), people.look()]);
    return true;
  } catch (error) {
    say(byId('said'), '');
    if (!error.errors) {
      failed(error.status >= 400 && error.status < 500
        ? `Not done. ${error.message}`
        : `It is not certain that this was done. Look before you send it again. ${error.message}`);
    }
    if (error.status === 409) {
      await look(); // what somebody else has changed is to be seen
    }
    throw error;
  }
}

function failed(words) {
  say(byId('trouble'), words);
  show(byId('trouble'), true);
}

async function look() {
  if (asking) {
    again = true; // what was done just now must be seen
    return;
  }
  asking = true;
  try {
    do {
      again = false;
      newest = await ask('/api/v1/setup');
      readAt = Date.now();
      draw();
    } while (again);
  } catch (error) {
    if (!started) {
      say(byId('unknown-none'), error.message);
    } // what stands here ages by itself
  } finally {
    asking = false;
  }
}

/** Every second too, so that values age when no answer comes. */
function draw() {
  const setUp = newest;
  const at = current().now ? farmTime(current(), Date.now()) : Date.now();
  const silent = (Date.now() - readAt) / 1000;
  const old = silent > OLD_AFTER || current().lostAt > 0;
  document.querySelector('main').dataset.stale = String(old);
  say(byId('old'), old ? `Nothing new is known here: what stands below was read ${ageWords(silent)}.` : '');
  show(byId('old'), old);
  topics.draw(setUp, at);
  tanks.draw(setUp, at);
  keyed(byId('changes'), setUp.changes, ({ version }) => String(version),
    ({ time, by, what }) => el('li', {}, el('p', { class: 'quiet' }, `${dayAndClockWords(Date.parse(time))}, ${by}`),
      ...what.map((sentence) => el('p', {}, own(sentence)))), () => {});
  if (!started) {
    started = true;
    people.start(setUp.calls);
    const query = new URLSearchParams(location.search);
    tanks.start(query.get('tank') ?? '', query.get('do') ?? '');
  }
}

byId('file').addEventListener('change', async ({ target }) => {
  const answer = byId('file-answer');
  const [file] = target.files;
  answer.replaceChildren();
  if (!file) {
    return;
  }
  const yaml = await file.text();
  try {
    const { version, changes } = await askWith('/api/v1/setup/check', { yaml });
    answer.append(changes.length === 0 ? el('p', {}, 'It says the same as the farm in force. Nothing would change.')
      : wouldChange(changes, yaml, version));
  } catch (error) {
    answer.append(el('p', {}, `${file.name} cannot be used as it is. Nothing was changed.`),
      el('ul', { class: 'points' }, ...(error.errors ?? [{ detail: error.message }]).map(({ line, detail }) =>
        el('li', {}, line ? `Line ${line}: ${detail}` : detail))));
  }
  target.value = ''; // so that the same file, mended, is taken again
});

function wouldChange(changes, yaml, basedOn) {
  const yes = el('button', { type: 'button', class: 'solid' }, 'Change the farm so');
  const no = el('button', { type: 'button' }, 'Leave it');
  const part = el('div', {}, el('p', {}, 'This would change:'),
    el('ul', { class: 'points' }, ...changes.map((sentence) => el('li', {}, own(sentence)))),
    el('div', { class: 'row' }, yes, no));
  yes.addEventListener('click', () => act((by) => ({ method: 'POST', path: '/api/v1/setup/farm', body: { by, basedOn, yaml } }),
    'The farm is as the file says, and the watch has it.').then((done) => done && part.remove(), () => {}));
  no.addEventListener('click', () => part.remove());
  return part;
}

begin(() => newest && draw(), () => true);
zoneKnown.then(look);
setInterval(look, EVERY);
