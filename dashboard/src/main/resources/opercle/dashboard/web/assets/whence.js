// SPDX-License-Identifier: Apache-2.0
// A small disclosure beside figures: on opening it, where each is from.

import { el, keyed, say, show } from './dom.js';
import { origins } from './origins.js';
import { age, valueOf } from './state.js';
import { ageWords } from './words.js';

/**
 * "where from", to be opened by a finger or a key; the same as pointing at a figure says.
 *
 * @param head what stands before it in its line
 * @return `root`, and `draw(of, sentences)`: of what the figures are, and a function of no argument
 *     to the sentences; two hundred closed ones need no words
 */
export function wherePart(...head) {
  const name = el('span', { class: 'unseen' });
  const list = el('ul', {});
  const root = el('details', { class: 'whence' },
    el('summary', {}, el('span', { class: 'age' }, ...head), ' ', el('span', { class: 'ask' }, 'where from', name)),
    list);
  let words = () => [];
  root.addEventListener('toggle', drawList);

  function draw(of, sentences) {
    say(name, ` the figures of ${of} are`);
    words = sentences;
    drawList();
  }

  function drawList() {
    if (root.open) {
      keyed(list, words().map((sentence, i) => ({ sentence, i })), ({ i }) => String(i),
        () => el('li', {}), (node, { sentence }) => say(node, sentence));
    }
  }
  return { root, draw };
}

/** How old a tank's readings are, and whether the time in hand is too old; each said of the same probe. */
export function heardOf(state, tank, at) {
  const seconds = age(state, tank, at);
  if (seconds === undefined) {
    return { stale: false, words: 'no reading yet' };
  }
  const oxygen = valueOf(state, tank, 'oxygen', at);
  if (!oxygen.stale) {
    return { stale: false, words: `newest reading ${ageWords(seconds)}` };
  }
  return { stale: true, words: oxygen.age === undefined
    ? `newest reading ${ageWords(seconds)}` : `oxygen last read ${ageWords(oxygen.age)}` };
}

/** The same under a tank's figures, with how old they are. */
export function whencePart() {
  const stale = el('span', { class: 'stale', hidden: '' }, 'stale');
  const ageText = el('span', {});
  const part = wherePart(stale, ageText);

  function draw(state, tank, at) {
    const heard = heardOf(state, tank, at);
    say(ageText, heard.words);
    show(stale, heard.stale);
    part.draw(tank.name, () => origins(tank));
  }
  return { root: part.root, draw };
}
