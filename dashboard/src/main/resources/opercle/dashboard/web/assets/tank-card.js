// SPDX-License-Identifier: Apache-2.0
// Draws one tank of the yard. Knows nothing about where the data comes from.

import { alarmList } from './alarm-list.js';
import { el, say } from './dom.js';
import { handPart } from './hand.js';
import { lastHour } from './last-hour.js';
import { alarmsOf, farmTime, isCalling, isCalm, isStale, rank, rankWords, shapeOf } from './state.js';
import { valuesPart } from './values.js';
import { whencePart } from './whence.js';
import { loadWords } from './words.js';

export function tankCard(id) {
  const link = el('a', { href: `/tank/${encodeURIComponent(id)}` });
  const load = el('p', { class: 'quiet load' });
  const [hand, values, hour, whence, alarms] = [handPart(), valuesPart(), lastHour(), whencePart(), alarmList()];
  const shape = el('span', { class: 'shape', 'aria-hidden': 'true' });
  const word = el('span', {});
  const root = el('article', { class: 'card', 'aria-labelledby': `tank-${id}` },
    el('header', { class: 'band' },
      el('h2', { id: `tank-${id}` }, link),
      el('p', { class: 'rank' }, shape, word)),
    el('div', { class: 'body' },
      el('div', {}, load, hand.root),
      alarms.root,
      el('div', { class: 'readings' }, values.root, hour.root, whence.root)));

  root.draw = (state, tank, at) => {
    const old = isStale(state, tank, at);
    root.dataset.rank = rank(tank);
    root.dataset.open = String(isCalling(tank));
    root.dataset.stale = String(old);
    root.dataset.calm = String(isCalm(tank) && !old);
    say(link, tank.name);
    say(shape, shapeOf(tank));
    say(word, state.lostAt && rank(tank) === 'none' ? 'Not known now' : rankWords(tank));
    say(load, loadWords(tank));
    hand.draw(tank);
    values.draw(state, tank, at);
    whence.draw(state, tank, at);
    hour.draw(state.hours[tank.id] ?? [], tank.floors, farmTime(state, at) / 1000);
    alarms.draw(tank, alarmsOf(tank));
  };
  return root;
}
