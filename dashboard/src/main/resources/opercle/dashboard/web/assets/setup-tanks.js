// SPDX-License-Identifier: Apache-2.0
// The tanks on the set-up page: how each is described, and the fish that come and go.

import { el, keyed, say, show } from './dom.js';
import { facts } from './facts.js';
import { fields } from './fields.js';
import { fishForm } from './fish-form.js';
import { quantityWords, probeFigure } from './quantities.js';
import { openForm } from './setup-forms.js';
import { ageWords } from './words.js';

const KINDS = [['holding', 'Holding tank'], ['transport', 'Transport tank']];
const GASES = [['air', 'Air'], ['oxygen', 'Oxygen']];
const SOURCES = [['blower', 'A blower'], ['cylinder', 'A cylinder']];
const DIFFUSERS = [['air-stone', 'Air stone'], ['porous-hose', 'Porous hose'], ['ceramic', 'Ceramic'],
  ['perforated-pipe', 'Perforated pipe']];
const STALE_AFTER = 120; // seconds
const TOLD = ['Fish', 'Water', 'Gas', 'Take care'];

/**
 * The tanks in their place.
 *
 * @param act does something with the name of who does it: (does, said) => whether it was done
 */
export function tankList(root, newRoot, act) {
  let known = { tanks: [], species: [] };

  const more = el('button', { type: 'button', id: 'add-tank' }, 'Add a tank');
  more.addEventListener('click', () => openForm(act, newRoot, describeForm(), more));
  newRoot.append(more);

  function draw(setUp, at) {
    known = setUp;
    keyed(root, setUp.tanks, ({ id }) => id, create, (node, tank) => update(node, tank, at));
  }

  function create({ id }) {
    const node = el('article', { id: `tank-${id}`, 'aria-label': id }, el('h3', {}, el('a', { href: `/tank/${encodeURIComponent(id)}` })),
      el('dl', { class: 'facts' }), el('ul', { class: 'probes' }), el('p', { class: 'quiet' }));
    const button = (value, words, form) => {
      const made = el('button', { type: 'button', value }, words);
      made.addEventListener('click', () => openForm(act, node, form(known.tanks.find((t) => t.id === id)), made));
      return made;
    };
    node.append(el('div', { class: 'acts' },
      button('add', 'Add fish', (t) => fishForm(act, () => known, t, 'add')),
      button('take', 'Take fish', (t) => fishForm(act, () => known, t, 'take')),
      button('change', 'Change the tank', (t) => describeForm(t)),
      button('remove', 'Take out of the farm', (t) => removeForm(t))));
    return node;
  }

  function update(node, tank, at) {
    const [heading, list, probes, none] = node.children;
    node.setAttribute('aria-label', tank.name);
    say(heading.firstChild, tank.name);
    keyed(list, facts({ ...tank, state: {} }).filter(([what]) => TOLD.includes(what)), ([what]) => what,
      ([what]) => el('div', {}, el('dt', {}, what), el('dd', {})),
      (item, [, words]) => say(item.lastChild, words));
    keyed(probes, tank.probes, ({ quantity, probe }) => `${quantity} ${probe}`,
      () => el('li', {}, el('span', {}), ' ', el('span', { class: 'stale' }, 'stale'), ' ', el('span', {})),
      (item, probe) => {
        const seconds = (at - Date.parse(probe.heard)) / 1000;
        say(item.firstChild, `${quantityWords(probe.quantity)}: ${probeFigure(probe)}${probe.topic ? `, from ${probe.topic}` : probe.probe === '1' ? '' : `, probe ${probe.probe}`}`);
        say(item.lastChild, `heard ${ageWords(Math.max(0, seconds))}`);
        item.dataset.stale = String(seconds > STALE_AFTER);
        show(item.querySelector('.stale'), seconds > STALE_AFTER);
      });
    say(none, tank.probes.length > 0 ? '' : 'No probe of this tank has been heard since the start.');
    node.querySelector('[value=take]').disabled = tank.loads.length === 0;
  }

  function describeForm(tank) {
    let basedOn = known.version; // what was seen: two people at one tank do not undo each other
    const part = fields(tank ? `change-${tank.id}` : 'new', tankSpecs(tank));
    return { ...part, title: tank ? `Change ${tank.name}` : 'A new tank', submit: tank ? 'Change it' : 'Add it',
      send: (by, { id = tank?.id ?? '', ...described }) => {
        const { daysBySpecies } = tank?.holding ?? {}; // has no field here, and must not be lost
        if (daysBySpecies) {
          described.holding = { ...described.holding, daysBySpecies };
        }
        return { method: 'PUT', path: `/api/v1/setup/tanks/${encodeURIComponent(id || ' ')}`,
          body: { by, basedOn, tank: described, isNew: !tank } };
      },
      done: tank ? `${tank.name} is changed, and the watch has it.` : 'The tank is there, and is watched from now on.',
      meanwhile: () => {
        basedOn = known.version;
        tank = tank && (known.tanks.find(({ id }) => id === tank.id) ?? tank);
        part.rebase(tankSpecs(tank));
      } };
  }

  function tankSpecs(tank) {
    const s = tank?.supply;
    return [
      ...(tank ? [] : [{ path: 'id', label: 'Short name that its probes send under' }]),
      { path: 'name', label: 'Name', value: tank?.name },
      { path: 'kind', label: 'What it is for', choices: KINDS, value: tank?.kind },
      { path: 'waterLitres', label: 'Water in it', kind: 'volume', value: tank?.waterLitres },
      { path: 'depthM', label: 'Water over the diffuser', unit: 'm', value: tank?.depthM ?? 0.8 },
      { path: 'supply/gas', label: 'Gas', choices: GASES, value: s?.gas },
      { path: 'supply/source', label: 'From', choices: SOURCES, value: s?.source },
      { path: 'supply/diffuser', label: 'Through', choices: DIFFUSERS, value: s?.diffuser },
      { path: 'supply/flowLPerMin', label: 'Flow set', unit: 'L/min at 15 °C', value: s?.flowLPerMin },
      { path: 'supply/sharedSource', label: 'Shared blower or cylinder, its name', value: s?.sharedSource },
      { path: 'supply/pausesMinutes', label: 'If a timer or a valve shuts the gas off: for at most, at a time', unit: 'min', value: s?.pausesMinutes },
      { path: 'supply/cylinder/waterLitres', label: 'Cylinder, water volume', unit: 'L', value: s?.cylinder?.waterLitres },
      { path: 'supply/cylinder/fullBar', label: 'Cylinder, when full', unit: 'bar', value: s?.cylinder?.fullBar },
      { path: 'floors/keepMgPerL', label: 'Keep floor, if not by species', unit: 'mg/L', value: tank?.ownFloors ? tank.floors.keepMgPerL : undefined },
      { path: 'floors/criticalMgPerL', label: 'Critical floor, if not by species', unit: 'mg/L', value: tank?.ownFloors ? tank.floors.criticalMgPerL : undefined },
      { path: 'responseMinutes', label: 'At night: until somebody has gas flowing', unit: 'min', value: tank?.responseMinutes },
      { path: 'holding/days', label: 'Held for at most', unit: 'days', value: tank?.holding?.days },
      { path: 'holding/freshLPerHour', label: 'Fresh water that runs through', kind: 'volume', per: ' an hour', value: tank?.holding?.freshLPerHour },
      { path: 'holding/ph', label: 'pH of its water, if not measured', unit: '', value: tank?.holding?.ph },
      { path: 'holding/alkalinityMgPerL', label: 'Alkalinity of its water', unit: 'mg/L as CaCO₃', value: tank?.holding?.alkalinityMgPerL },
    ];
  }

  function removeForm(tank) {
    return { title: `Take ${tank.name} out of the farm?`, submit: 'Take it out', read: () => ({}), mark: (errors) => errors ?? [],
      nodes: [el('p', {}, 'It is watched no longer, and alarms that stand there end. Its past readings are kept.')],
      send: (by) => ({ method: 'POST', path: `/api/v1/setup/tanks/${encodeURIComponent(tank.id)}/remove`, body: { by } }),
      done: `${tank.name} is taken out.` };
  }

  /** Opens a form of a tank, for who comes from its page. */
  function start(id, what) {
    document.querySelector(`#tank-${CSS.escape(id)} [value="${CSS.escape(what)}"]`)?.click();
  }
  return { draw, start };
}
