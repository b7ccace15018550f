// SPDX-License-Identifier: Apache-2.0
// A form of the set-up page in its place: opened, sent once, and kept open where it is refused.

import { el, say } from './dom.js';
import { inOwnUnits } from './units.js';
import { inFarmTime } from './words.js';

const own = (sentence) => inFarmTime(inOwnUnits(sentence));

/**
 * Opens a form. One at a time in each place; it goes away when it is done, and the focus goes back.
 *
 * @param act does something with the name of who does it: (does, said) => whether it was done
 * @param form `title`, `nodes`, `submit` (the button's words), `read()`, `mark(errors)` as of
 *     `fields.js`, `send(by, typed)` gives method, path and body, `done` says what was done, and
 *     `meanwhile()`, where it has one, brings the form up to what somebody else has changed
 * @param opener what has the focus afterwards
 */
export function openForm(act, place, { title, nodes, read, mark, send, done, submit, meanwhile = () => {} }, opener) {
  place.querySelector('form')?.remove();
  const wrong = el('p', { class: 'trouble', role: 'alert', hidden: '' });
  const form = el('form', { novalidate: '', autocomplete: 'off' },
    el('fieldset', {}, el('legend', {}, title), ...nodes), wrong,
    el('div', { class: 'row' }, el('button', { type: 'submit', class: 'solid' }, submit),
      el('button', { type: 'button', value: 'back' }, 'Leave it')));
  const close = () => {
    form.remove();
    (opener.isConnected ? opener : place).focus();
  };
  form.querySelector('[value=back]').addEventListener('click', close);
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    mark();
    wrong.hidden = true;
    const button = form.querySelector('[type=submit]');
    button.disabled = true; // a second tap must not send it twice
    try {
      if (await act((by) => send(by, read()), done)) {
        close();
      }
    } catch (error) {
      const left = mark(error.errors);
      say(wrong, error.errors ? left.map(({ told, detail }) => own(told ?? detail)).join(' ') : own(error.message));
      wrong.hidden = wrong.textContent === '';
      if (error.status === 409) {
        meanwhile();
      }
    } finally {
      button.disabled = false;
    }
  });
  place.append(form);
  form.querySelector('input, select, button').focus();
  form.scrollIntoView({ block: 'nearest' });
}
