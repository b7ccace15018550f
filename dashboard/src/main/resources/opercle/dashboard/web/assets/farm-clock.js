// SPDX-License-Identifier: Apache-2.0
// Times as people type them: by the clock on the farm's wall, wherever the device is. Twice a year
// that clock is changed; an hour that comes twice must be told apart, and one that never comes said.

import { el, say, show } from './dom.js';
import { farmZone, zoneKnown } from './words.js';
import { aheadAt } from './zone.js';

const DAY = 86_400_000;

/** What stands in a field for an instant. */
export const wallOf = (millis, zone = farmZone()) =>
  new Date(millis + aheadAt(millis, zone)).toISOString().slice(0, 16);

/**
 * The instants at which the farm's clock shows what was typed, the earlier one first: one; none in
 * the hour that spring leaves out, or where it is no time; two in the hour that autumn has twice.
 */
export function instantsOf(typed, zone = farmZone()) {
  const wall = Date.parse(`${typed}Z`);
  if (Number.isNaN(wall)) {
    return [];
  }
  const offsets = new Set([aheadAt(wall - DAY, zone), aheadAt(wall + DAY, zone)]);
  return [...offsets].map((ahead) => wall - ahead)
    .filter((instant) => instant + aheadAt(instant, zone) === wall)
    .sort((a, b) => a - b);
}

/** Whether the device's clock shows another time, or will within a year: names alone do not tell. */
const isElsewhere = () => Array.from({ length: 12 }, (_, month) => Date.now() + month * 30 * DAY)
  .some((at) => aheadAt(at, farmZone()) !== aheadAt(at, undefined));

/**
 * A field for a time. Where the device has another clock its label says that the farm's counts.
 *
 * @return `nodes` for its place, label first, `input`, `read()` gives the instant in the server's form and
 *     throws where it is none or nobody can tell which, `put(millis)` and `look()` after a change; what was
 *     put and is still the same minute is read with its seconds
 */
export function clockField(id, words) {
  const label = el('label', { for: id }, words);
  zoneKnown.then(() => say(label, isElsewhere() ? `${words} (the farm’s clock)` : words));
  const input = el('input', { id, type: 'datetime-local', autocomplete: 'off' });
  const which = el('select', { 'id': `${id}-which`, 'aria-label': 'Which of the two', 'hidden': '' },
    el('option', { value: '' }, 'Which of the two?'),
    el('option', { value: '0' }, 'The first, before the clocks went back'),
    el('option', { value: '1' }, 'The second, after the clocks went back'));
  const said = el('p', { class: 'wrong', role: 'status' });
  let exact;
  const clock = () => input.value.slice(11, 16);

  function look() {
    const typed = input.value;
    const found = typed === '' ? 1 : instantsOf(typed).length;
    show(which, found === 2);
    which.value = found === 2 ? which.value : '';
    say(said, found === 2 ? `The clocks went back at the farm then, and ${clock()} came twice.`
      : found === 0 ? missing() : '');
  }

  const missing = () => `The clocks went forward at the farm then, and ${clock()} never came.`;

  function read() {
    look();
    if (input.value === '') {
      throw new Error(`${words}: a day and a time are needed.`);
    }
    const found = instantsOf(input.value);
    if (found.length === 0) {
      throw new Error(missing());
    }
    if (found.length === 2 && which.value === '') {
      throw new Error(`${said.textContent} Say which of the two.`);
    }
    const minute = found[Number(which.value)];
    return new Date(exact >= minute && exact < minute + 60_000 ? exact : minute).toISOString();
  }

  function put(millis) {
    exact = millis;
    input.value = wallOf(millis);
    look();
    if (!which.hidden) {
      which.value = String(instantsOf(input.value).indexOf(Math.floor(millis / 60_000) * 60_000));
    }
  }

  input.addEventListener('input', look);
  return { nodes: [label, input, which, said], input, read, put, look };
}
