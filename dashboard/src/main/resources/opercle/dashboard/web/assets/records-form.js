// SPDX-License-Identifier: Apache-2.0
// Forms for entries of the records: from fields that are described to what the server takes, and back.

import { el } from './dom.js';
import { clockField } from './farm-clock.js';
import { inField, inside, KINDS as UNIT_KINDS, typedNumber, unitOf } from './units.js';

let made = 0;

/**
 * A form in its place; nothing in it is chosen or ticked beforehand.
 *
 * @param groups of fields: [title, [{ name, label, is, choices }]]; `is` is text, long, whole,
 *   number, mass, volume, temperature, day, time, choice or ticks; `choices` gives [value, words] pairs
 */
export function entryForm(form, groups, onChange = () => {}) {
  const prefix = `f${made++}`;
  const fields = groups.flatMap(([, of]) => of);
  form.append(...groups.map(([title, of]) =>
    el('fieldset', {}, el('legend', {}, title), ...of.map((field) => part(field, `${prefix}-${field.name}`)))));
  form.addEventListener('input', onChange);
  form.addEventListener('submit', (event) => event.preventDefault());

  return {
    /** What the server takes; blanks are left out. */
    read: () => Object.fromEntries(fields.map((f) => [f.name, valueOf(f)]).filter(([, v]) => v !== undefined)),
    /** As it stands on the screen, for a draft. */
    draft: () => Object.fromEntries(fields.map((f) => [f.name, f.is === 'ticks' ? ticked(f) : f.input.value])),
    restore: (draft) => fields.forEach((f) => put(f, draft[f.name])),
    /** With what the server has; what nobody touches then is read back as it was, to the last digit. */
    fill: (known) => fields.forEach((f) => {
      if (f.clock && known[f.name]) {
        f.clock.put(Date.parse(known[f.name]));
        return;
      }
      put(f, typed(f, known[f.name]));
      f.was = { text: f.input.value, value: known[f.name] };
    }),
    /** Offers the choices anew; what was chosen stays. */
    offer: () => fields.filter((f) => f.choices).forEach((f) => {
      const before = f.is === 'ticks' ? ticked(f) : f.input.value;
      offer(f, `${prefix}-${f.name}`);
      put(f, before);
    }),
  };
}

/** Whether it is a figure that a device has a unit of its own for. */
const isMeasured = ({ is }) => Object.hasOwn(UNIT_KINDS, is);

function part(field, id) {
  if (field.is === 'ticks') {
    field.input = el('fieldset', { class: 'ticks' });
    offer(field, id);
    return field.input;
  }
  if (field.is === 'time') {
    field.clock = clockField(id, field.label);
    field.input = field.clock.input;
    return el('div', { class: 'field' }, ...field.clock.nodes);
  }
  const types = { day: 'date' };
  const decimal = ['number', 'whole'].includes(field.is) || isMeasured(field);
  field.input = field.is === 'choice' ? el('select', { id })
    : field.is === 'long' ? el('textarea', { id, maxlength: '1000', rows: '2' })
      : el('input', { id, type: types[field.is] ?? 'text', ...(decimal ? { inputmode: 'decimal' } : {}), maxlength: '120' });
  offer(field, id);
  const unit = isMeasured(field) ? `, ${unitOf(field.is)}` : '';
  return el('div', { class: field.is === 'long' ? 'field whole' : 'field' },
    el('label', { for: id }, `${field.label}${unit}`), field.input);
}

function offer(field, id) {
  if (field.is === 'choice') {
    field.input.replaceChildren(el('option', { value: '' }, field.blank ?? 'not said'),
      ...field.choices().map(([value, words]) => el('option', { value }, words)));
  } else if (field.is === 'ticks') {
    const choices = field.choices();
    field.input.replaceChildren(el('legend', {}, field.label),
      ...choices.map(([value, words]) => el('label', {},
        el('input', { type: 'checkbox', name: id, value }), words)));
    field.input.hidden = choices.length === 0;
  }
}

const ticked = ({ input }) => [...input.querySelectorAll('input:checked')].map((box) => box.value);

function put(field, value) {
  if (field.is === 'ticks') {
    field.input.querySelectorAll('input').forEach((box) => {
      box.checked = (value ?? []).includes(box.value);
    });
  } else {
    field.input.value = value ?? '';
    field.clock?.look();
  }
}

/** As it was typed where it is no number or no time, so that the server can say so. */
function valueOf(field) {
  if (field.is === 'ticks') {
    const all = ticked(field);
    return all.length > 0 ? all : undefined;
  }
  const text = field.input.value.trim();
  if (text === '') {
    return undefined;
  }
  if (field.was?.value !== undefined && text === field.was.text) {
    return field.was.value;
  }
  const number = typedNumber(text);
  switch (field.is) {
    case 'whole': case 'number': return Number.isNaN(number) ? text : number;
    case 'mass': case 'volume': case 'temperature': return Number.isNaN(number) ? text : inside(field.is, number);
    case 'time':
      try {
        return field.clock.read();
      } catch (error) {
        throw new Error(`${field.label}: ${error.message}`);
      }
    default: return text;
  }
}

function typed(field, value) {
  if (value === undefined || field.is === 'ticks') {
    return value;
  }
  if (isMeasured(field)) {
    return inField(field.is, value);
  }
  return String(value);
}

/** An id of our own making: one that is sent twice is kept once. */
export const newId = () => [...crypto.getRandomValues(new Uint8Array(16))]
  .map((byte) => byte.toString(16).padStart(2, '0')).join('');

/** Asks why, in a dialog; empty if the person turned back. */
export function askWhy(title) {
  const input = el('input', { id: 'why', maxlength: '120', required: '' });
  const form = el('form', {}, el('label', { for: 'why' }, 'Why?'), input, el('div', { class: 'row' },
    el('button', { class: 'solid', type: 'submit' }, 'Go on'), el('button', { type: 'button' }, 'Back')));
  const dialog = el('dialog', { 'aria-label': title }, el('h2', {}, title), form);
  document.body.append(dialog);
  dialog.showModal();
  return new Promise((resolve) => {
    let why = '';
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      why = input.value.trim();
      if (why) {
        dialog.close();
      }
    });
    form.querySelector('[type=button]').addEventListener('click', () => dialog.close());
    dialog.addEventListener('close', () => {
      dialog.remove();
      resolve(why);
    });
  });
}
