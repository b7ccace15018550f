// SPDX-License-Identifier: Apache-2.0
// The form by which fish come into a tank and leave it.

import { el } from './dom.js';
import { fields } from './fields.js';

const post = (id, body) => ({ method: 'POST', path: `/api/v1/tanks/${encodeURIComponent(id)}/fish`, body });

/**
 * For `openForm` (setup-forms.js).
 *
 * @param act does something with the name of who does it: (does, said) => whether it was done
 * @param known what is set up by now: a function of no argument
 * @param what add or take
 */
export function fishForm(act, known, tank, what) {
  let basedOn = known().version; // what was seen: sent twice, it is done once
  const there = new Set(tank.loads.map(({ species }) => species));
  const species = known().species.filter(({ id }) => what === 'add' || there.has(id))
    .map(({ id, name }) => [id, name]);
  const part = fields(`${what}-${tank.id}`, [
    { path: 'species', label: 'Kind', choices: species, value: tank.loads[0]?.species },
    { path: 'kg', label: 'All together', kind: 'mass' },
    { path: 'count', label: 'How many, if known', unit: 'fish' },
    ...(what === 'take' ? [{ path: 'into', label: 'Into', choices: [['', 'Out of these tanks'],
      ...known().tanks.filter(({ id }) => id !== tank.id).map(({ id, name }) => [id, name])] }] : []),
    ...(what === 'add' ? [{ path: 'since', label: 'In since, if not just now', type: 'datetime-local' }] : []),
  ]);
  const nodes = [...part.nodes];
  if (what === 'take') {
    const all = el('button', { type: 'button' }, 'All of them');
    all.addEventListener('click', () => act((by) => post(tank.id, { by, basedOn, do: 'empty' }), `${tank.name} is empty now.`)
      .then((done) => done && all.closest('form').remove(), () => {}));
    nodes.push(el('div', { class: 'field' }, all));
  }
  return { ...part, nodes, title: what === 'add' ? `Fish into ${tank.name}` : `Fish out of ${tank.name}`,
    submit: what === 'add' ? 'Put them in' : 'Take them out',
    send: (by, typed) => post(tank.id, { by, basedOn, do: what, ...typed }),
    done: `${tank.name}: noted, and the watch has it.`,
    meanwhile: () => {
      basedOn = known().version; // what was refused, and why, has been said: the next press is meant
    } };
}
