// SPDX-License-Identifier: Apache-2.0
// After a trip: what the record of its tank says, what it would say by the trip, and who decides.

import { el, say, show } from './dom.js';
import { ask, askWith } from './feed.js';
import { whoIsIt } from './name.js';
import { amount } from './units.js';

const fishWords = (load) => (load.length === 0 ? 'no fish'
  : load.map(({ name, kg, count }) => `${amount('mass', kg)} of ${name}${count ? ` in ${count} fish` : ''}`).join(', '));

/** What is offered, as a sentence. */
export const offerWords = ({ tankName, now, then }) =>
  `The record of ${tankName} says ${fishWords(now)}. By this trip it would say ${fishWords(then)}.`;

/**
 * Asks in its place whether the tank's record is to follow the trip.
 *
 * @param path the trip's address
 * @param done is given the trip as it then is
 * @param told is given what went wrong
 * @return to be called with the trip whenever it is known anew
 */
export function tankPrompt(place, path, done, told) {
  let offer; // the buttons stay where they are, and answer what is asked by then
  const [yes, no] = [el('button', { type: 'button', class: 'solid' }, 'Write it so'), el('button', { type: 'button' }, 'Leave the record as it is')];
  const buttons = [yes, no];
  async function answer(what) {
    const by = await whoIsIt();
    if (!by) {
      return;
    }
    buttons.forEach((button) => { button.disabled = true; });
    try {
      done(await askWith(`${path}/tank-load`, { by, entry: offer.entry, basedOn: offer.basedOn, do: what }));
    } catch (error) {
      told(error);
      await ask(path).then(done, () => {}); // somebody may have answered: what stands now
    } finally {
      buttons.forEach((button) => { button.disabled = false; });
    }
  }
  yes.addEventListener('click', () => answer('put'));
  no.addEventListener('click', () => answer('leave'));
  const said = el('p', {});
  place.append(el('h2', { id: 'tank-load-heading' }, 'Is the tank’s record right?'), said,
    el('p', {}, 'Look into the tank first: fish may have been moved by hand since. A tank that is written down as empty calls nobody.'),
    el('div', { class: 'row' }, ...buttons));
  return ({ tankLoad, takesEntries }) => {
    offer = tankLoad;
    show(place, Boolean(offer) && takesEntries);
    if (offer) {
      say(said, offerWords(offer));
    }
  };
}
