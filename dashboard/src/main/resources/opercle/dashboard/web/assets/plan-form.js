// SPDX-License-Identifier: Apache-2.0
// What a plan is asked for: the fields, in the units of this device, to and from the server's.

import { el, say } from './dom.js';
import { inField, inside, insideDifference, limitWords, sensible, typedNumber, unitOf } from './units.js';

const plain = { unit: '', read: (x) => x };
const measured = (kind) => ({
  kind, unit: unitOf(kind), read: (x) => inside(kind, x),
});
const as = (unit) => ({ ...plain, unit });

const GASES = [['oxygen', 'Oxygen'], ['air', 'Air']];
const DIFFUSERS = [['ceramic', 'Ceramic'], ['porous-hose', 'Porous hose'],
  ['perforated-pipe', 'Perforated pipe'], ['air-stone', 'Air stone']];

/** Groups of fields; `path` is where the value stands in what is sent. */
const GROUPS = [
  ['Water and way', [
    { path: 'waterLitres', label: 'Water in the tank', ...measured('volume'), value: 650 },
    { path: 'temperatureC', label: 'Water at loading', ...measured('temperature'), value: 12 },
    { path: 'riseC', label: 'Warms on the way by', kind: 'temperature', isDifference: true, unit: unitOf('temperature'), value: 0,
      read: (x) => insideDifference('temperature', x) },
    { path: 'minutes', label: 'Loading to unloading', ...as('min'), value: 120 },
  ]],
  ['Gas', [
    { path: 'gas', label: 'Gas', choices: GASES },
    { path: 'diffuser', label: 'Through', choices: DIFFUSERS },
    { path: 'flowLPerMin', label: 'Flow set, if known', ...as('L/min at 15 °C') },
    { path: 'depthM', label: 'Water over it', ...as('m'), value: 0.7 },
    { path: 'cylinder/waterLitres', label: 'Cylinder, water volume', ...as('L') },
    { path: 'cylinder/bar', label: 'Its gauge shows', ...as('bar') },
    { path: 'cylinder/count', label: 'How many of them', ...plain },
    { path: 'reserveBar', label: 'To be left in it', ...as('bar'), value: 50 },
  ]],
  ['You and the fish', [
    { path: 'responseMinutes', label: 'To notice, stop, mend', ...as('min'), value: 10 },
    { path: 'altitudeM', label: 'Highest point of the way', ...as('m'), value: 0 },
    { path: 'handling', label: 'Handling', choices: [['careful', 'Loaded with care'], ['exhausted', 'Chased, crowded']] },
    { path: 'feeding', label: 'Food', choices: [['unfed', 'None for two days'], ['fed', 'Fed lately']] },
  ]],
];

const fieldOf = new WeakMap(); // by its input
const idOf = (path) => path.replaceAll('/', '-');

/**
 * A form in its place.
 *
 * @param species what there is, from the server: id and name
 * @param onChange called at every change
 */
export function planForm(form, species, onChange) {
  const batches = [];
  const fish = el('fieldset', {}, el('legend', {}, 'Fish'));
  const more = el('button', { type: 'button' }, 'Another kind of fish');
  fish.append(more);
  more.addEventListener('click', () => {
    addBatch({}).focus();
    onChange();
  });
  form.append(fish, ...GROUPS.map(([title, fields]) =>
    el('fieldset', {}, el('legend', {}, title), ...fields.map(fieldPart))));
  form.addEventListener('input', onChange);
  form.addEventListener('submit', (event) => event.preventDefault());

  function addBatch({ species: kind = 'common-carp', kg, meanMassKg }) {
    const i = batches.length;
    const fields = [
      { path: `load/${i}/species`, label: 'Kind', choices: species.map(({ id, name }) => [id, name]), value: kind },
      { path: `load/${i}/kg`, label: 'All together', ...measured('mass'), value: kg },
      { path: `load/${i}/meanMassKg`, label: 'Each fish, if known', ...measured('mass'), value: meanMassKg },
    ];
    const part = el('div', { class: 'batch', role: 'group', 'aria-label': `Fish ${i + 1}` }, ...fields.map(fieldPart));
    batches.push({ fields, part });
    more.before(part);
    if (i > 0) {
      const away = el('button', { type: 'button' }, 'Leave these out');
      away.addEventListener('click', () => {
        batches.splice(i).forEach(({ part: gone }) => gone.remove()); // the later ones with it
        onChange();
      });
      part.append(away);
    }
    return part.querySelector('select');
  }

  function read() {
    const asked = { load: batches.map(() => ({})) };
    for (const field of [...batches.flatMap(({ fields }) => fields), ...GROUPS.flatMap(([, fields]) => fields)]) {
      const value = valueOf(field);
      if (value !== undefined) {
        put(asked, field.path.split('/'), value);
      }
    }
    return asked;
  }

  /** Fills in what is known of a tank. */
  function fill(tank) {
    batches.splice(0).forEach(({ part }) => part.remove());
    const stocked = tank.loads.filter(({ kg }) => kg > 0);
    for (const load of stocked.length > 0 ? stocked : [{}]) {
      addBatch({ ...load, meanMassKg: load.count ? sensible(load.kg / load.count) : undefined });
    }
    const { supply, state } = tank;
    const known = {
      'waterLitres': tank.waterLitres, 'depthM': tank.depthM, 'temperatureC': state.temperatureC,
      'gas': supply.gas, 'diffuser': supply.diffuser, 'flowLPerMin': supply.flowLPerMin,
      'cylinder/waterLitres': supply.cylinder?.waterLitres, 'cylinder/bar': supply.cylinder?.fullBar,
      'responseMinutes': tank.responseMinutes,
    };
    GROUPS.flatMap(([, fields]) => fields)
      .filter(({ path }) => known[path] !== undefined)
      .forEach((field) => write(field, known[field.path]));
  }

  return { addBatch, read, fill, mark };
}

function fieldPart(field) {
  const id = idOf(field.path);
  const input = field.choices
    ? el('select', { id }, ...field.choices.map(([value, words]) => el('option', { value }, words)))
    : el('input', { id, inputmode: 'decimal' });
  input.setAttribute('aria-describedby', `${id}-wrong`);
  field.input = input;
  fieldOf.set(input, field);
  if (field.value !== undefined) {
    write(field, field.value);
  }
  const unit = field.unit ? `, ${field.unit}` : '';
  return el('div', { class: 'field' },
    el('label', { for: id }, `${field.label}${unit}`),
    input,
    el('p', { class: 'wrong', id: `${id}-wrong` }));
}

function write(field, value) {
  const { input, choices, kind, isDifference = false } = field;
  input.value = choices ? value : kind && !isDifference ? inField(kind, value) : String(sensible(value));
  field.put = { text: input.value, value }; // as long as nobody touches it, to the last digit
}

/** The server's value; as it was typed where it is no number, so that the server can say so. */
function valueOf({ input, choices, read, put: filled }) {
  const typed = input.value.trim();
  if (typed !== '' && typed === filled?.text) {
    return filled.value;
  }
  if (typed === '') {
    return undefined;
  }
  const number = typedNumber(typed);
  return choices || Number.isNaN(number) ? typed : read(number);
}

function put(into, [name, ...rest], value) {
  if (rest.length === 0) {
    into[name] = value;
  } else {
    put(into[name] ??= {}, rest, value);
  }
}

/** Says at each field what is wrong with it; what belongs to no field comes back. */
function mark(errors) {
  const left = new Map(errors.map((error) => [idOf(error.pointer.slice(2)), error]));
  for (const input of document.querySelectorAll('#form input, #form select')) {
    const error = left.get(input.id);
    left.delete(input.id);
    input.setAttribute('aria-invalid', String(error !== undefined));
    say(document.getElementById(`${input.id}-wrong`), error ? wrongWords(error, fieldOf.get(input)) : '');
  }
  return [...left.values()];
}

const wrongWords = ({ value, limit, unit, told }, { kind, isDifference = false }) => {
  if (limit.startsWith('one of ')) {
    return told;
  }
  const may = kind ? limitWords(kind, limit, unit, isDifference && !unit.endsWith('at the end')) : `${limit} ${unit}`.trim();
  return `${value === 'missing' ? 'Needed' : 'Must be'}: ${may}`;
};
