// SPDX-License-Identifier: Apache-2.0
// From mark to mark on the traces, by finger or key: alarms and what was done, in words.

import { el, say } from './dom.js';
import { dayAndClockWords, RANKS } from './words.js';

/** Alarms and deeds as marks, the earliest first. */
export const marksOf = (alarms, deeds) => [
  ...alarms.map(({ from, worst, words }) => ({ at: from, words: `${words} (${RANKS[worst].word})` })),
  ...deeds.map(({ at, words }) => ({ at, words })),
].sort((a, b) => a.at - b.at);

/** @param onMark told the second of a mark that is gone to */
export function markSteps(onMark) {
  const before = el('button', { type: 'button' }, 'Mark before');
  const after = el('button', { type: 'button' }, 'Next mark');
  const words = el('p', { role: 'status', class: 'quiet' });
  const root = el('div', { id: 'marks' },
    el('div', { class: 'row', role: 'group', 'aria-label': 'Marks on the traces' }, before, after), words);
  let marks = [];
  let at; // the mark gone to; undefined: none yet

  const same = (a, b) => a !== undefined && a.at === b.at && a.words === b.words;

  function go(step) {
    const place = marks.findIndex((mark) => same(at, mark));
    const next = place < 0 ? (step < 0 ? marks.length - 1 : 0) : place + step;
    at = marks[Math.min(marks.length - 1, Math.max(0, next))];
    tell();
    onMark(at.at);
  }

  function tell() {
    const place = marks.findIndex((mark) => same(at, mark));
    before.disabled = place === 0 || marks.length === 0;
    after.disabled = place === marks.length - 1 || marks.length === 0;
    say(words, marks.length === 0 ? 'No alarm and nothing done is marked in this time.'
      : place < 0 ? `${marks.length} ${marks.length === 1 ? 'mark' : 'marks'} in this time: alarms and what was done.`
        : `Mark ${place + 1} of ${marks.length}. ${dayAndClockWords(at.at * 1000)}: ${at.words}`);
  }

  before.addEventListener('click', () => go(-1));
  after.addEventListener('click', () => go(1));
  return {
    root,
    draw(alarms, deeds) {
      marks = marksOf(alarms, deeds);
      at = marks.find((mark) => same(at, mark));
      tell();
    },
  };
}
