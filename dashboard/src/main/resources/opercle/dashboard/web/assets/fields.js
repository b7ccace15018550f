// SPDX-License-Identifier: Apache-2.0
// Fields of a form, each with its unit and, where the server finds one, what is wrong with it.

import { el, say } from './dom.js';
import { inside, shown, typedNumber, unitOf } from './units.js';

/**
 * Fields in their place.
 *
 * @param prefix begins every id, so that two forms on a page do not meet
 * @param specs each with path (where the value stands in what is sent), label, and as it applies
 *     kind (of `units.js`) or unit, choices, type, value, hint
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
        put(all, spec.path.split('/'), valueOf(spec, typed));
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
      say(spec.wrong, error ? wrongWords(error) : '');
      first ??= error && spec.input;
    }
    first?.focus();
    return left;
  }
  return { nodes, read, mark };
}

function part(spec) {
  const unit = spec.kind ? unitOf(spec.kind) : spec.unit;
  spec.input = spec.choices
    ? el('select', { id: spec.id }, ...spec.choices.map(([value, words]) => el('option', { value }, words)))
    : el('input', { id: spec.id, autocomplete: 'off', ...inputOf(spec, unit) });
  spec.wrong = el('p', { class: 'wrong', id: `${spec.id}-wrong` });
  spec.input.setAttribute('aria-describedby', spec.wrong.id);
  if (spec.value !== undefined) {
    spec.input.value = spec.kind ? String(+shown(spec.kind, spec.value).toFixed(3)) : spec.value;
  }
  return el('div', { class: 'field' },
    el('label', { for: spec.id }, unit ? `${spec.label}, ${unit}` : spec.label), spec.input, spec.wrong);
}

const inputOf = ({ type }, unit) =>
  (type ? { type } : unit === undefined ? { type: 'text', maxlength: '60' } : { inputmode: 'decimal' });

function valueOf({ kind, unit, choices, type }, typed) {
  if (type === 'datetime-local') {
    return new Date(typed).toISOString();
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

/** The server names value, limit and unit; where it does not, its sentence without the key. */
const wrongWords = ({ value, limit, unit, field, detail }) => {
  if (limit !== undefined) {
    return `${value === 'missing' ? 'Needed' : `${value} will not do. Must be`}: ${limit} ${unit}`.trim();
  }
  const words = field && detail.startsWith(`${field}: `) ? detail.slice(field.length + 2) : detail;
  return words.charAt(0).toUpperCase() + words.slice(1);
};
