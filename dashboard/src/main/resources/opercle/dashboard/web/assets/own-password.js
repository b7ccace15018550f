// SPDX-License-Identifier: Apache-2.0
// Another password for who is logged in.

import { el, say, show } from './dom.js';
import { seeing } from './seeing.js';
import { tell } from './feed.js';

function field(id, words, autocomplete) {
  const input = el('input', { id, type: 'password', autocomplete, required: '', maxlength: '256' });
  return [el('label', { for: id }, words), input, seeing(input, words)];
}

/**
 * @param done called when it is over, changed or not
 */
export function ownPassword(done) {
  const trouble = el('p', { class: 'trouble', role: 'alert', hidden: '' });
  const set = el('button', { type: 'submit', class: 'solid' }, 'Set it');
  const back = el('button', { type: 'button' }, 'Leave it');
  const form = el('form', { class: 'stacked' },
    ...field('own-old', 'Your present password', 'current-password'),
    ...field('own-new', 'Your new password, 12 letters or more', 'new-password'),
    trouble, set, back);
  back.addEventListener('click', done);
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    set.disabled = true;
    show(trouble, false);
    try {
      await tell('PUT', '/api/v1/session/password', {
        old: form.querySelector('#own-old').value, password: form.querySelector('#own-new').value,
      });
      form.replaceWith(el('p', { role: 'status' },
        'Your password is changed. Other devices have to log in again.'));
    } catch ({ message }) {
      say(trouble, message);
      show(trouble, true);
      set.disabled = false;
    }
  });
  return form;
}
