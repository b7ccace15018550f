// SPDX-License-Identifier: Apache-2.0
// What these fish breathe by the farm's own trips, offered in place of the published estimate.

import { el, say, show } from './dom.js';
import { ask } from './feed.js';

/**
 * A choice in the plan's form, there only where the farm's trips tell of such fish.
 *
 * @param form where it goes
 * @return gives what is asked for with the rate that was chosen
 */
export function rateChoice(form) {
  const select = el('select', { id: 'rate', 'aria-describedby': 'rate-words rate-wrong' },
    el('option', { value: 'own' }, 'As your own trips measured it'),
    el('option', { value: 'published' }, 'As it is published'));
  const words = el('p', { id: 'rate-words', class: 'quiet whole' });
  const part = el('fieldset', { id: 'rate-part', hidden: '' }, el('legend', {}, 'What they breathe'),
    el('div', { class: 'field whole' }, el('label', { for: 'rate' }, 'Reckon with it'), select, el('p', { class: 'wrong', id: 'rate-wrong' })), words);
  form.firstElementChild.after(part); // beside the fish, which it is about
  let query;
  let answered;

  return async (asked) => {
    const next = queryOf(asked);
    if (next !== query) { // a slow answer is waited for, so that no other fish's rate goes with these
      query = next;
      answered = next ? ask(`/api/v1/trips/rates?${next}`).then((answer) => answer.rate, () => {
        query = undefined; // asked again with the next change
      }) : undefined;
    }
    const rate = await answered;
    show(part, Boolean(rate));
    if (!rate) {
      return asked;
    }
    const { mgPerKgPerHour: { low, likely, high }, temperatureC, trips } = rate;
    say(words, `Your own estimate: ${likely.toFixed(0)} mg of oxygen an hour for each kg, likely between ${low.toFixed(0)} and ${high.toFixed(0)}, from ${trips === 1 ? 'one trip' : `${trips} trips`} of such fish in such water.${trips < 3 ? ' That is few, so the bounds are wider.' : ''}`);
    return select.value === 'published' ? asked : { ...asked, measuredRate: { low, likely, high, temperatureC, trips } };
  };
}

/** Of one kind of fish at a temperature; nothing where that is not said yet. */
function queryOf({ load, temperatureC }) {
  const [{ species, meanMassKg }, ...others] = load;
  return others.length > 0 || typeof temperatureC !== 'number' ? ''
    : String(new URLSearchParams({ species, temperatureC, ...(typeof meanMassKg === 'number' && { meanMassKg }) }));
}
