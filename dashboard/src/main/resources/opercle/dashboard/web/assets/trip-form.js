// SPDX-License-Identifier: Apache-2.0
// Sends a form of the trips' pages: under somebody's name, once at a time, and says what went wrong.

import { show } from './dom.js';
import { whoIsIt } from './name.js';

/**
 * Does the work each time the form is sent, unless they turn back at their name.
 *
 * @param work by whom; what it throws is given to `told`
 * @param trouble where the last trouble is said; taken away before the work
 */
export function onSubmit(form, work, trouble, told) {
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    const button = form.querySelector('button[type=submit]');
    const by = await whoIsIt();
    if (!by) {
      return;
    }
    button.disabled = true;
    show(trouble, false);
    try {
      await work(by);
    } catch (error) {
      told(error);
    } finally {
      button.disabled = false;
    }
  });
}
