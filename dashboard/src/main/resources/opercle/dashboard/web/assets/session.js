// SPDX-License-Identifier: Apache-2.0
// Who is logged in, if anybody has to be; and the way out.

import { el } from './dom.js';

let known = { logInNeeded: false };

/** Asked for once a page: who is logged in, as `{ logInNeeded, name, role }`. */
export const session = fetch('/api/v1/session', { headers: { accept: 'application/json' } })
  .then((answer) => (answer.ok ? answer.json() : known))
  .catch(() => known)
  .then((answer) => {
    known = answer;
    draw();
    return answer;
  });

/** The name of who is logged in, as far as it is known by now; empty where nobody is. */
export const loggedInName = () => known.name ?? '';

/** To the way in, and back here from there. */
export function toLogIn(over) {
  const next = location.pathname + location.search;
  location.assign(`/login?${over ? 'over&' : ''}next=${encodeURIComponent(next)}`);
}

/** After a loss: a log-in that has ended leads to the way in. */
export async function lookAgain() {
  try {
    const answer = await fetch('/api/v1/session');
    const now = answer.ok ? await answer.json() : known;
    if (now.logInNeeded && !now.name) {
      toLogIn(true);
    }
  } catch {
    // the server is not there: the page says so
  }
}

function draw() {
  if (!known.name) {
    return;
  }
  const out = el('button', { type: 'button' }, 'Log out');
  out.addEventListener('click', async () => {
    out.disabled = true;
    try {
      await fetch('/api/v1/session', { method: 'DELETE' });
    } finally {
      location.assign('/login');
    }
  });
  const change = el('button', { type: 'button' }, 'Change password');
  const section = el('section', { 'class': 'logged-in', 'aria-label': 'Log-in' },
    el('p', {}, 'Logged in as ', el('strong', {}, known.name)), change, out);
  change.addEventListener('click', async () => {
    const { ownPassword } = await import('./own-password.js');
    change.replaceWith(ownPassword(() => section.querySelector('form').replaceWith(change)));
    section.querySelector('input').focus();
  });
  document.body.append(section);
}
