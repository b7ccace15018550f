// SPDX-License-Identifier: Apache-2.0
// A small disclosure under a tank's figures: how old they are, and on opening it where each is from.

import { el, keyed, say, show } from './dom.js';
import { origins } from './origins.js';
import { ageWords } from './words.js';

export function whencePart() {
  const stale = el('span', { class: 'stale', hidden: '' }, 'stale');
  const ageText = el('span', {});
  const name = el('span', { class: 'unseen' });
  const list = el('ul', {});
  const root = el('details', { class: 'whence' },
    el('summary', {}, el('span', { class: 'age' }, stale, ageText), ' ', el('span', { class: 'ask' }, 'where from', name)),
    list);
  let drawn;
  root.addEventListener('toggle', drawList);

  /** @param seconds age of the newest reading, if there is one */
  function draw(tank, seconds, isOld) {
    drawn = tank;
    say(name, ` the figures of ${tank.name} are`);
    say(ageText, seconds === undefined ? 'no reading yet' : `newest reading ${ageWords(seconds)}`);
    show(stale, isOld && seconds !== undefined);
    drawList();
  }

  function drawList() {
    if (root.open && drawn) { // two hundred closed ones need no words
      keyed(list, origins(drawn).map((words, i) => ({ words, i })), ({ i }) => String(i),
        () => el('li', {}), (node, { words }) => say(node, words));
    }
  }
  return { root, draw };
}
