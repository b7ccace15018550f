// SPDX-License-Identifier: Apache-2.0
// A trip that was begun by mistake: said to be none, by whom and why. What was written stays.

import { show } from './dom.js';
import { askWith } from './feed.js';
import { whoIsIt } from './name.js';
import { askWhy } from './records-form.js';
import { newId } from './trip-words.js';

/**
 * Lets a button withdraw the trip.
 *
 * @param path the trip's address
 * @param now gives the farm's time
 * @param done is given the trip as it then is
 * @param told is given what went wrong
 * @return to be called with the trip whenever it is known anew
 */
export function withdrawButton(button, path, now, done, told) {
  let kept; // sent again over a bad link it is the same withdrawal
  button.addEventListener('click', async () => {
    const why = await askWhy('This trip was begun by mistake');
    const by = why ? await whoIsIt() : '';
    if (!by) {
      return;
    }
    button.disabled = true;
    try {
      if (kept?.why !== why || kept?.by !== by) {
        kept = { id: newId(), time: now(), by, why };
      }
      done(await askWith(`${path}/withdrawal`, kept));
    } catch (error) {
      told(error);
    } finally {
      button.disabled = false;
    }
  });
  return ({ withdrawn, takesEntries }) => show(button, takesEntries && !withdrawn);
}
