// SPDX-License-Identifier: Apache-2.0
// Tanks, the fish in them, and the probes that feed them: set up while everything runs.

import { el, keyed, say } from './dom.js';
import { ask, askWith } from './feed.js';
import { begin, current } from './live.js';
import { sayOld } from './old.js';
import { actor, looker } from './setup-act.js';
import { peopleList } from './setup-people.js';
import { tankList } from './setup-tanks.js';
import { topicList } from './setup-topics.js';
import { farmTime } from './state.js';
import { inOwnUnits } from './units.js';
import { dayAndClockWords, inFarmTime, zoneKnown } from './words.js';

const EVERY = 2000;
const byId = (id) => document.getElementById(id);
const own = (sentence) => inFarmTime(inOwnUnits(sentence));
const look = looker(async () => {
  newest = await ask('/api/v1/setup');
  readAt = Date.now();
  draw();
}, (error) => !started && say(byId('unknown-none'), error.message)); // what stands here ages by itself
const { act, failed } = actor({ said: byId('said'), trouble: byId('trouble') }, () => Promise.all([look(), people.look()]));
const tanks = tankList(byId('tanks'), byId('new-tank'), act);
const topics = topicList(document, act);
const people = peopleList(byId('people-part'), act, (words) => say(byId('said'), words), failed);
let newest; // what was read last, and when
let readAt = 0;
let started = false;

/** Every second too, so that values age when no answer comes. */
function draw() {
  const setUp = newest;
  const at = current().now ? farmTime(current(), Date.now()) : Date.now();
  document.querySelector('main').dataset.stale = String(sayOld(byId('old'), readAt, current()));
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
