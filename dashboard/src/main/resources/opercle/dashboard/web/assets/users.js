// SPDX-License-Identifier: Apache-2.0
// People who can log in, and programs that have a token.

import { el, say, show } from './dom.js';
import { ask, askWith, tell } from './feed.js';
import { begin } from './live.js';
import { seeing } from './seeing.js';
import { session } from './session.js';
import { dayAndClockWords } from './words.js';

const byId = (id) => document.getElementById(id);
const ROLES = { look: 'Look', keep: 'Keep', manage: 'Manage' };
const path = (name) => `/api/v1/users/${encodeURIComponent(name)}`;

/** Does it, says what became of it, and draws the lists anew. */
async function change(words, act) {
  show(byId('trouble'), false);
  say(byId('said'), '');
  try {
    await act();
    say(byId('said'), words);
    return true;
  } catch ({ message }) {
    say(byId('trouble'), message);
    show(byId('trouble'), true);
    return false;
  } finally {
    await refresh();
    if (document.activeElement === document.body) { // what was pressed is drawn anew
      byId('said').focus();
    }
  }
}

function button(words, act) {
  const node = el('button', { type: 'button' }, words);
  node.addEventListener('click', () => act(node));
  return node;
}

/** A button that asks once more before it does what cannot be taken back. */
function sureButton(words, sureWords, act) {
  const node = button(words, () => {
    if (node.dataset.sure) {
      act();
    } else {
      node.dataset.sure = 'true';
      say(node, sureWords);
      node.classList.add('solid');
    }
  });
  return node;
}

function userItem({ name, role, since }, index) {
  const select = el('select', { id: `role-${index}` },
    ...Object.entries(ROLES).map(([id, words]) => el('option', { value: id }, words)));
  select.value = role;
  // Not by choosing alone: with the arrow keys that passes roles that nobody wants.
  const give = button('Change it', () => change(
    `${name} may ${select.value} from now on, and has to log in again.`,
    () => tell('PUT', `${path(name)}/role`, { role: select.value })));
  show(give, false);
  select.addEventListener('change', () => show(give, select.value !== role));
  const password = passwordForm(name, index);
  return el('li', {},
    el('h3', {}, name),
    el('p', { class: 'quiet' }, `Since ${dayAndClockWords(Date.parse(since))}`),
    el('div', { class: 'field' }, el('label', { for: select.id }, 'May'), select, give),
    el('div', { class: 'row' },
      button('Set a new password', () => show(password, password.hidden)),
      sureButton('Remove', `Really remove ${name}`, () => change(
        `${name} cannot log in any more.`, () => tell('DELETE', path(name), {})))),
    password);
}

function passwordForm(name, index) {
  const input = el('input', {
    id: `password-${index}`, type: 'password', autocomplete: 'new-password', required: '', maxlength: '256',
  });
  const form = el('form', { hidden: '' },
    el('label', { for: input.id }, `New password for ${name}, 12 letters or more`), input, seeing(input, `New password for ${name}`),
    el('button', { type: 'submit', class: 'solid' }, 'Set it'));
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    change(`${name} has another password, and has to log in again.`,
      () => tell('PUT', `${path(name)}/password`, { password: input.value }));
  });
  return form;
}

function tokenItem({ id, name, role, madeBy, since, used }) {
  return el('li', {},
    el('h3', {}, name),
    el('p', {}, `May ${role}. Made by ${madeBy}, ${dayAndClockWords(Date.parse(since))}. `
      + (used ? `Used last ${dayAndClockWords(Date.parse(used))}.` : 'Never used.')),
    el('div', { class: 'row' },
      sureButton('Take its key back', 'Really take it back', () => change(
        `${name} gets no answer any more.`, () => tell('DELETE', `/api/v1/tokens/${id}`, {})))));
}

async function refresh() {
  const { users } = await ask('/api/v1/users');
  const { tokens } = await ask('/api/v1/tokens');
  byId('users').replaceChildren(...users.map(userItem));
  byId('tokens').replaceChildren(...tokens.map(tokenItem));
  show(byId('no-users'), users.length === 0);
  show(byId('add-user'), users.length > 0);
  show(byId('add-token'), users.length > 0);
}

byId('add-user').addEventListener('submit', async (event) => {
  event.preventDefault();
  const name = byId('new-name').value;
  const added = await change(`${name} can log in.`, () => tell('POST', '/api/v1/users', {
    name, role: byId('new-role').value, password: byId('new-password').value,
  }));
  if (added) {
    byId('add-user').reset();
  }
});

byId('add-token').addEventListener('submit', async (event) => {
  event.preventDefault();
  const made = await change('The key is made.', async () => {
    const { secret } = await askWith('/api/v1/tokens', {
      name: byId('token-name').value, role: byId('token-role').value,
    });
    say(byId('secret'), secret);
    show(byId('made'), true);
  });
  if (made) {
    byId('add-token').reset();
  }
});

byId('copied').addEventListener('click', () => {
  say(byId('secret'), '');
  show(byId('made'), false);
});

byId('new-password').after(seeing(byId('new-password'), 'First password'));
begin(() => {}, () => true);
await session;
refresh().catch(({ message }) => {
  say(byId('trouble'), message);
  show(byId('trouble'), true);
});
