// SPDX-License-Identifier: Apache-2.0
// The way in: name and password, then on to the page that was asked for.

import { unsaidWords } from './feed.js';

const byId = (id) => document.getElementById(id);
const form = byId('log-in');
const trouble = byId('trouble');
const query = new URLSearchParams(location.search);

/** Only an address of our own is gone to, whatever a link says. */
function next() {
  try {
    const target = new URL(query.get('next') ?? '/', location.origin);
    return target.origin === location.origin && !target.pathname.startsWith('/login')
      ? target.pathname + target.search + target.hash : '/';
  } catch {
    return '/';
  }
}

function tell(words) {
  trouble.textContent = words;
  trouble.hidden = words === '';
}

form.addEventListener('submit', async (event) => {
  event.preventDefault();
  const button = form.querySelector('button');
  button.disabled = true;
  tell('');
  try {
    const answer = await fetch('/api/v1/session', {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'accept': 'application/json' },
      body: JSON.stringify({ name: byId('name').value, password: byId('password').value }),
    });
    if (answer.ok) {
      location.replace(next());
      return;
    }
    const problem = await answer.json().catch(() => ({}));
    tell(problem.detail ?? unsaidWords(answer.status));
    byId('password').select();
  } catch {
    tell('The server cannot be reached. Look at the tanks themselves.');
  } finally {
    button.disabled = false;
  }
});

byId('over').hidden = !query.has('over');

// A link in a mail brings no cookie along, so that who is logged in may land here all the same.
const session = await fetch('/api/v1/session').then((answer) => answer.json()).catch(() => ({}));
if (session.name || session.logInNeeded === false) {
  location.replace(next());
} else {
  byId('name').focus();
}
