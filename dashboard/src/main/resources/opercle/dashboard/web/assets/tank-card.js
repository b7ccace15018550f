// SPDX-License-Identifier: Apache-2.0
// Draws one tank of the yard. Knows nothing about where the data comes from.

import { alarmList } from './alarm-list.js';
import { el, say, show } from './dom.js';
import { handPart } from './hand.js';
import { lastHour } from './last-hour.js';
import { alarmsOf, age, farmTime, isCalm, isOpen, isStale, rank, rankWords } from './state.js';
import { valuesPart } from './values.js';
import { ageWords, loadWords, RANKS } from './words.js';

export function tankCard(id) {
  const link = el('a', { href: `/tank/${encodeURIComponent(id)}` });
  const load = el('p', { class: 'quiet load' });
  const stale = el('span', { class: 'stale' }, 'stale');
  const ageText = el('span', {});
  const [hand, values, hour, alarms] = [handPart(), valuesPart(), lastHour(), alarmList()];
  const shape = el('span', { class: 'shape', 'aria-hidden': 'true' });
  const word = el('span', {});
  const root = el('article', { class: 'card', 'aria-labelledby': `tank-${id}` },
    el('header', { class: 'band' },
      el('h2', { id: `tank-${id}` }, link),
      el('p', { class: 'rank' }, shape, word)),
    el('div', { class: 'body' },
      el('div', {}, load, hand.root),
      alarms.root,
      el('div', { class: 'readings' },
        values.root, hour.root, el('p', { class: 'age' }, stale, ageText))));

  root.draw = (state, tank, at) => {
    const seconds = age(state, tank, at);
    const old = isStale(state, tank, at);
    root.dataset.rank = rank(tank);
    root.dataset.open = String(alarmsOf(tank).some(isOpen));
    root.dataset.stale = String(old);
    root.dataset.calm = String(isCalm(tank) && !old);
    say(link, tank.name);
    say(shape, RANKS[rank(tank)].shape);
    say(word, rankWords(tank));
    say(load, loadWords(tank));
    say(ageText, seconds === undefined ? 'no reading' : `newest reading ${ageWords(seconds)}`);
    show(stale, old);
    hand.draw(tank);
    values.draw(tank.state, farmTime(state, at));
    hour.draw(state.hours[tank.id] ?? [], tank.floors, farmTime(state, at) / 1000);
    alarms.draw(tank, alarmsOf(tank));
  };
  return root;
}
