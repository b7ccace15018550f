// SPDX-License-Identifier: Apache-2.0
// Which fish to follow: those of a water, of one kind or all, on a day.

import { instantsOf } from './farm-clock.js';
import { entryForm } from './records-form.js';

const EVER = '1970-01-01T00:00:00Z';

/**
 * A form in its place.
 *
 * @param waters gives what there is to choose, as [id, name] pairs
 * @return `offer()`, once waters are known anew; `asked(way)` gives the question and its words
 */
export function followForm(form, waters) {
  const entry = entryForm(form, [['Fish of a water', [
    { name: 'water', label: 'Water', is: 'choice', choices: waters },
    { name: 'species', label: 'Kind of fish, if not all', is: 'text' },
    { name: 'day', label: 'In it on; left out: today, or for where they went ever', is: 'day' }]]]);

  function asked(way) {
    const { water, species, day } = entry.read();
    if (!water) {
      throw new Error('Choose a water first.');
    }
    const name = waters().find(([id]) => id === water)?.[1] ?? water;
    const on = day ? ` on ${day}` : '';
    const fish = species ? `the ${species.toLowerCase()}` : 'the fish';
    const at = instant(way, day);
    return [`${new URLSearchParams({ water, way, ...(species && { species }), ...(at && { at }) })}`,
      way === 'backwards' ? `Where ${fish} of ${name}${on} came from` : `Where ${fish} of ${name}${on || ', ever,'} went`];
  }
  return { offer: entry.offer, asked };
}

/** Who is there on a day is there at its end; who leaves on it was there at its beginning. */
function instant(way, day) {
  if (!day) {
    return way === 'forwards' ? EVER : undefined;
  }
  // Where the clocks go forward at midnight the day begins an hour later.
  const [at] = way === 'forwards' ? [...instantsOf(`${day}T00:00:00`), ...instantsOf(`${day}T01:00:00`)] : instantsOf(`${day}T23:59:59`);
  return at === undefined ? undefined : new Date(at).toISOString();
}
