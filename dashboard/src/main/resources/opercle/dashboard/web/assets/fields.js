// SPDX-License-Identifier: Apache-2.0
// Fields of a form, each with its unit and, where the server finds one, what is wrong with it.

import { el, say } from './dom.js';
import { clockField } from './farm-clock.js';
import { seeing } from './seeing.js';
import { inField, inside, limitWords, typedNumber, unitOf } from './units.js';

/**
 * Fields in their place.
 *
 * @param prefix begins every id, so that two forms on a page do not meet
 * @param specs each with path (where the value stands in what is sent), label, and as it applies
 *     kind (of `units.js`), with per (a time) or without, or unit, choices, type, value, and long for more than a short line
 */
export function fields(prefix, specs) {
  const made = specs.map((spec) => ({ ...spec, id: `${prefix}-${spec.path.replaceAll('/', '-')}` }));
  const nodes = made.map(part);

  /** What was typed, in the server's units; as it was typed where it is no number. */
  function read() {
    const all = {};
    for (const spec of made) {
      const typed = spec.input.value.trim();
      if (typed !== '') {
        const untouched = typed === spec.was && spec.value !== undefined; // as the server has it, to the last digit
        put(all, spec.path.split('/'), untouched ? spec.value : valueOf(spec, typed));
      }
    }
    return all;
  }

  /** Says at each field what is wrong with it; what belongs to no field comes back. */
  function mark(errors = []) {
    const left = [...errors];
    let first;
    for (const spec of made) {
      const at = left.findIndex(({ pointer }) => pointer === `#/${spec.path}`);
      const [error] = at < 0 ? [] : left.splice(at, 1);
      spec.input.setAttribute('aria-invalid', String(error !== undefined));
      say(spec.wrong, error ? wrongWords(error, spec) : '');
      first ??= error && spec.input;
    }
    first?.focus();
    return left;
  }

  /**
   * Takes in what the fields hold on the server by now. What nobody has touched here becomes it; where
   * both changed something, the field says what the other made of it.
   *
   * @param specs as before, with the newest values
   */
  function rebase(specs) {
    for (const spec of made) {
      const newest = specs.find(({ path }) => path === spec.path);
      if (newest?.choices) { // there may be more to choose from by now
        const chosen = spec.input.value;
        spec.input.replaceChildren(...optionsOf(newest.choices));
        spec.input.value = chosen;
      }
      const now = shownValue({ ...spec, value: newest?.value });
      if (now === spec.was) {
        spec.value = newest?.value; // what no digit here shows may be another
        continue;
      }
      if (spec.input.value === spec.was) {
        spec.input.value = now;
        say(spec.wrong, 'Changed meanwhile.');
      } else {
        say(spec.wrong, `Meanwhile changed to ${now === '' ? 'nothing' : now}. What you typed stands above.`);
      }
      spec.was = now;
      spec.value = newest?.value;
    }
  }
  return { nodes, read, mark, rebase };
}

const shownValue = ({ kind, value }) =>
  (value === undefined ? '' : kind ? inField(kind, value) : String(value));

const optionsOf = (choices) => choices.map(([value, words]) => el('option', { value }, words));

function part(spec) {
  const unit = spec.kind ? `${unitOf(spec.kind)}${spec.per ?? ''}` : spec.unit;
  spec.clock = spec.type === 'datetime-local' ? clockField(spec.id, spec.label) : undefined;
  spec.input = spec.clock ? spec.clock.input : spec.choices
    ? el('select', { id: spec.id }, ...optionsOf(spec.choices))
    : el('input', { id: spec.id, autocomplete: 'off', ...inputOf(spec, unit) });
  spec.wrong = el('p', { class: 'wrong', id: `${spec.id}-wrong` });
  spec.input.setAttribute('aria-describedby', spec.wrong.id);
  if (spec.value !== undefined) {
    spec.input.value = shownValue(spec);
  }
  spec.was = spec.input.value;
  const label = el('label', { for: spec.id }, unit ? `${spec.label}, ${unit}` : spec.label);
  return el('div', { class: 'field' }, ...(spec.clock?.nodes ?? [label, spec.input]),
    ...(spec.type === 'password' ? [seeing(spec.input, spec.label)] : []), spec.wrong);
}

const inputOf = ({ type, long }, unit) =>
  (type === 'password' ? { type, autocomplete: 'new-password', maxlength: '200' } : type ? { type } : long ? { type: 'text', maxlength: '500' } : unit === undefined ? { type: 'text', maxlength: '60' } : { inputmode: 'decimal' });

function valueOf({ kind, unit, choices, clock, path }, typed) {
  if (clock) {
    try {
      return clock.read();
    } catch (error) { // as the server would say it: at its field
      throw Object.assign(error, { status: 422, errors: [{ pointer: `#/${path}`, detail: error.message }] });
    }
  }
  if (choices || (kind === undefined && unit === undefined)) {
    return typed;
  }
  const number = typedNumber(typed);
  if (Number.isNaN(number)) {
    return typed;
  }
  return kind ? inside(kind, number) : number;
}

function put(into, [name, ...rest], value) {
  if (rest.length === 0) {
    into[name] = value;
  } else {
    put(into[name] ??= {}, rest, value);
  }
}

/** The server names value, limit and unit; where it does not, or those are for programs, its sentence. */
const wrongWords = ({ value, limit, unit, field, told, detail }, { kind, input }) => {
  if (limit !== undefined && !limit.startsWith('one of ')) {
    const may = kind ? limitWords(kind, limit, unit) : `${limit} ${unit}`.trim();
    return `${value === 'missing' ? 'Needed' : `${input.value.trim() || value} will not do. Must be`}: ${may}`;
  }
  const named = field && detail.startsWith(`${field}: `) && !detail.includes('one of '); // the label stands above
  const words = named ? detail.slice(field.length + 2) : told ?? detail;
  return words.charAt(0).toUpperCase() + words.slice(1);
};
