// SPDX-License-Identifier: Apache-2.0
// The movement records of a mixed load: a record is of one kind of fish, so each kind has its own.

import { el } from './dom.js';

/**
 * Choices of a record for each further kind, in their place.
 *
 * @param name what the ids of the fields begin with
 * @return `draw(load, movements, has)` with the fish, the records that are offered and the ids that
 *     are chosen already; `read()` gives the ids; `onChange` is called when one is chosen
 */
export function otherRecords(place, name, onChange = () => {}) {
  const fields = () => [...place.querySelectorAll('select')];
  const chosen = () => fields().map((field) => field.value).filter((id) => id !== '');
  function draw(load, movements, has) {
    const kinds = [...new Map(load.map((fish) => [fish.species, fish])).values()].slice(1);
    const kept = has ?? fields().map((field) => field.value);
    const known = kept.filter((id) => id && !movements.some((movement) => movement.id === id))
      .map((id) => ({ id, title: 'The one that it has' }));
    const places = Array.from({ length: Math.max(kinds.length, chosenOf(kept)) }, (_, i) => kinds[i]);
    place.replaceChildren(...places.map((fish, i) => {
      const id = `${name}-${i}`;
      const select = el('select', { id }, el('option', { value: '' }, 'None'),
        ...[...known, ...movements].map((movement) => el('option', { value: movement.id }, movement.title)));
      select.value = kept[i] ?? '';
      select.addEventListener('change', onChange);
      return el('div', { class: 'field' }, el('label', { for: id },
        fish ? `Movement record of the ${(fish.name ?? fish.species).replaceAll('-', ' ')}` : 'Another movement record'), select);
    }));
  }
  return { draw, read: () => [...new Set(chosen())] };
}

const chosenOf = (ids) => ids.filter((id) => id).length;

/** The records of a trip as they are sent: the first has a field of its own. */
export function movementsOf(first, others) {
  const [movementRecord, ...otherMovements] = [...new Set([first, ...others])].filter((id) => id !== '');
  return { ...(movementRecord && { movementRecord }), ...(otherMovements.length > 0 && { otherMovements }) };
}
