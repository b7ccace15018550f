// SPDX-License-Identifier: Apache-2.0
// Who is holding this screen: asked once, then remembered on this device.

import { el } from './dom.js';
import { loggedInName, session } from './session.js';

const KEY = 'opercle-name';
let remembered = read();
let dialog;

function read() {
  try {
    return localStorage.getItem(KEY) ?? '';
  } catch {
    return '';
  }
}

function remember(name) {
  remembered = name;
  try {
    localStorage.setItem(KEY, name);
  } catch {
    // storage is switched off: it is remembered for this page only
  }
}

/** The name, as far as it is known by now: who is logged in, or what this device remembers. */
export const knownName = () => loggedInName() || remembered;

/** The name, asking for it if it is not known; empty if the person turned back. */
export async function whoIsIt() {
  const { name } = await session;
  if (name) {
    return name; // who is logged in is who does it
  }
  return remembered || askName();
}

/** Asks for the name, whether or not it is known. */
export function askName() {
  dialog?.remove();
  const input = el('input', {
    id: 'name', autocomplete: 'name', maxlength: '60', required: '', value: remembered,
  });
  const form = el('form', {},
    el('label', { for: 'name' }, 'Your name'),
    input,
    el('p', { class: 'quiet' }, 'So that the others see who has it. Kept on this device.'),
    el('div', { class: 'row' },
      el('button', { class: 'solid', type: 'submit' }, 'That is me'),
      el('button', { type: 'button', value: 'back' }, 'Back')));
  dialog = el('dialog', { 'aria-label': 'Who has it?' }, el('h2', {}, 'Who has it?'), form);
  document.body.append(dialog);
  dialog.showModal();
  return new Promise((resolve) => {
    let name = '';
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      name = input.value.trim();
      if (name) {
        remember(name);
        dialog.close();
      }
    });
    form.querySelector('[value=back]').addEventListener('click', () => dialog.close());
    dialog.addEventListener('close', () => resolve(name));
  });
}
