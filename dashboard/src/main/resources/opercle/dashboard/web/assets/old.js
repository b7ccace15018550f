// SPDX-License-Identifier: Apache-2.0
// Values that nothing new is known of: said beside them, before somebody goes by them.

import { say, show } from './dom.js';
import { ageWords } from './words.js';

const USUAL = 15; // seconds without an answer

/** What to say of values that were read then; empty while they are as new as they should be. */
export function oldWords(readAt, { lostAt }, after = USUAL) {
  const silent = (Date.now() - readAt) / 1000;
  return silent > after || lostAt > 0
    ? `Nothing new is known here: what stands below was read ${ageWords(silent)}.` : '';
}

/** Says so in its place; whether there was anything to say. */
export function sayOld(place, readAt, state, after = USUAL) {
  const words = oldWords(readAt, state, after);
  say(place, words);
  show(place, words !== '');
  return words !== '';
}
