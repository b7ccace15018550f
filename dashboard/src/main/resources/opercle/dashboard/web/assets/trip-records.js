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
  /** A record goes with its kind, and not with its place. */
  const chosenFor = (species) => fields().find((field) => field.dataset.species === species)?.value ?? '';
  const chosen = () => fields().map((field) => field.value).filter((id) => id !== '');
  function draw(load, movements, has) {
    const kinds = [...new Map(load.map((fish) => [fish.species, fish])).values()].slice(1);
    const kept = has ? placed(has, kinds, movements) : kinds.map(({ species }) => chosenFor(species));
    const known = kept.filter((id) => id && !movements.some((movement) => movement.id === id))
      .map((id) => ({ id, title: 'The one that it has' }));
    const places = Array.from({ length: kept.length }, (_, i) => kinds[i]);
    place.replaceChildren(...places.map((fish, i) => {
      const id = `${name}-${i}`;
      const select = el('select', { id, 'data-species': fish?.species ?? '' }, el('option', { value: '' }, 'None'),
        ...[...known, ...movements].map((movement) => el('option', { value: movement.id }, movement.title)));
      select.value = kept[i] ?? '';
      select.addEventListener('change', onChange);
      return el('div', { class: 'field' }, el('label', { for: id },
        fish ? `Movement record of the ${(fish.name ?? fish.species).replaceAll('-', ' ')}` : 'Another movement record'), select);
    }));
  }
  return { draw, read: () => [...new Set(chosen())] };
}

/** The records that a trip has, each at the kind that it is of; after them those of no further kind. */
function placed(ids, kinds, movements) {
  const kindOf = (id) => movements.find((movement) => movement.id === id)?.species;
  const left = [...ids];
  const take = (fits) => {
    const at = left.findIndex(fits);
    return at < 0 ? undefined : left.splice(at, 1)[0];
  };
  const own = kinds.map(({ species }) => take((id) => kindOf(id) === species));
  const laid = own.map((id) => id ?? take((other) => kindOf(other) === undefined) ?? '');
  return [...laid, ...left];
}

/** The records of a trip as they are sent: the first has a field of its own. */
export function movementsOf(first, others) {
  const [movementRecord, ...otherMovements] = [...new Set([first, ...others])].filter((id) => id !== '');
  return { ...(movementRecord && { movementRecord }), ...(otherMovements.length > 0 && { otherMovements }) };
}
