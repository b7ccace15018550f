// SPDX-License-Identifier: Apache-2.0
// The loading of a trip, put right: what was written stays, and what is sent here counts from then on.

import { el, show } from './dom.js';
import { clockField } from './farm-clock.js';
import { ask } from './feed.js';
import { movementsOf, otherRecords } from './trip-records.js';
import { newId, putNumber, readNumber } from './trip-words.js';
import { unitOf } from './units.js';

/**
 * A form in its place, hidden until it is filled.
 *
 * @return `form`; `fill(entry)` with a loading as it was written; `read(by)` gives the correction to
 *     send, the same one until something is changed; `close()`
 */
export function loadingForm(place) {
  const field = (id, label, attributes = {}) => {
    const input = el('input', { id, autocomplete: 'off', ...attributes });
    return { input, node: el('div', { class: 'field' }, el('label', { for: id }, label), input) };
  };
  const clock = clockField('loading-time', 'The fish went in at');
  const [from, to] = [field('loading-from', 'From', { maxlength: '120' }), field('loading-to', 'To', { maxlength: '120' })];
  const vehicle = field('loading-vehicle', 'Vehicle', { maxlength: '120' });
  const minutes = field('loading-minutes', 'Minutes on the road', { inputmode: 'numeric' });
  const bar = field('loading-bar', 'Cylinder, bar', { inputmode: 'decimal' });
  const record = el('select', { id: 'loading-record' });
  const recordNode = el('div', { class: 'field wide-field' },
    el('label', { for: 'loading-record' }, 'Movement record, if there is one'), record);
  const others = el('div', { class: 'wide-field trip-form' });
  const otherChoices = otherRecords(others, 'loading-record');
  const fish = el('div', { class: 'wide-field trip-form' });
  const leave = el('button', { type: 'button', class: 'wide-field' }, 'Leave it as it was');
  const form = el('form', { class: 'trip-form' }, el('div', { class: 'field wide-field' }, ...clock.nodes), fish,
    from.node, to.node, vehicle.node, minutes.node, bar.node, recordNode, others,
    el('button', { type: 'submit', class: 'solid wide-field' }, 'So it was'), leave);
  place.append(form);
  let wrong;
  let id;
  let kinds = [];

  const close = () => {
    wrong = undefined;
    show(place, false);
  };
  leave.addEventListener('click', close);
  form.addEventListener('input', () => {
    id = newId(); // what is changed is another correction
  });

  /** Those that leave within two days of now, and the one that it has, whenever that leaves. */
  function offer(movements, { movementRecord: has, otherMovements = [], load, kind }) {
    record.replaceChildren(el('option', { value: '' }, 'None'),
      ...(has ? [el('option', { value: has }, 'The one that it has')] : []),
      ...movements.filter((movement) => movement.id !== has)
        .map((movement) => el('option', { value: movement.id }, movement.title)));
    record.value = has ?? '';
    otherChoices.draw(kind === 'road' ? load : [], movements, otherMovements);
  }

  function fill(entry) {
    wrong = entry;
    id = newId();
    const { trip } = entry;
    clock.put(Date.parse(entry.time));
    from.input.value = trip.from;
    to.input.value = trip.to;
    vehicle.input.value = trip.vehicle ?? '';
    putNumber(minutes.input, trip.expectedMinutes);
    putNumber(bar.input, trip.cylinderBar);
    show(recordNode, trip.kind === 'road');
    offer([], trip);
    ask('/api/v1/trips?most=1').then(({ movements }) => wrong === entry && offer(movements, trip),
      () => {}); // then it keeps what it has
    kinds = trip.load.map((load, i) => {
      const name = load.species.replaceAll('-', ' ');
      const kg = field(`loading-kg-${i}`, `All the ${name}, ${unitOf('mass')}`, { inputmode: 'decimal' });
      const count = field(`loading-count-${i}`, `How many ${name}, if known`, { inputmode: 'numeric' });
      putNumber(kg.input, load.kg, 'mass');
      putNumber(count.input, load.count);
      return { load, kg, count };
    });
    fish.replaceChildren(...kinds.flatMap(({ kg, count }) => [kg.node, count.node]));
    show(place, true);
  }

  const given = (name, value) => (value === undefined || value === '' ? {} : { [name]: value });

  function read(by) {
    const { expectedMinutes, cylinderBar, vehicle: before, movementRecord, otherMovements, ...rest } = wrong.trip; // those that may be taken away
    const load = kinds.map(({ load: { count: counted, ...was }, kg, count }) => ({
      ...was,
      ...given('kg', readNumber(kg.input, 'Weight', 'mass')),
      ...given('count', readNumber(count.input, 'How many')),
    }));
    return {
      id, by, kind: 'loaded', corrects: wrong.id,
      time: clock.read(),
      trip: {
        ...rest, load, from: from.input.value.trim(), to: to.input.value.trim(),
        ...given('vehicle', vehicle.input.value.trim()),
        ...given('expectedMinutes', readNumber(minutes.input, 'Minutes on the road')),
        ...given('cylinderBar', readNumber(bar.input, 'Cylinder')),
        ...movementsOf(record.value, otherChoices.read()),
      },
    };
  }

  return { form, fill, read, close };
}
