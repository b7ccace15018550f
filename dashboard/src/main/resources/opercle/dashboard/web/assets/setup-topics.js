// SPDX-License-Identifier: Apache-2.0
// Topics that feed no tank, each assigned in two taps; and those assigned, each taken back in one.

import { el, keyed, say, show } from './dom.js';
import { likely, quantityUnit, quantityWords } from './quantities.js';
import { ageWords } from './words.js';

const STALE_AFTER = 60; // seconds; longer for what comes seldom
const AT_FIRST = 6; // a shared broker may carry hundreds that are none of ours

/** Where a value stands in a message: “water › degC”. */
const inItWords = (pointer) => `“${pointer.slice(1).split('/').map((step) => step.replaceAll('~1', '/').replaceAll('~0', '~')).join(' › ')}”`;

/**
 * The topics in their place.
 *
 * @param root holds `#unknown` and what goes with it, and `#assigned`
 * @param act does something with the name of who does it: (does, said) => whether it was done
 */
export function topicList(root, act) {
  const byId = (id) => root.querySelector(`#${id}`);
  let most = AT_FIRST;
  let known = { tanks: [], quantities: [] };
  byId('unknown-more').addEventListener('click', () => {
    most += AT_FIRST * 5;
    byId('unknown-more').hidden = true;
  });

  /** @param setUp what there is; `taken`, where it has it, is what is assigned anywhere */
  function draw(setUp, at) {
    known = setUp;
    const taken = setUp.taken ?? setUp.assigned;
    const rows = setUp.unknown.flatMap((seen) => {
      const free = seen.values.filter(({ pointer }) =>
        !taken.some((a) => a.topic === seen.topic && a.pointer === pointer));
      return free.length > 0 ? free.map((value) => ({ ...seen, ...value })) : seen.values.length > 0 ? [] : [seen];
    });
    rows.sort((a, b) => (a.value === undefined) - (b.value === undefined));
    keyed(byId('unknown'), rows.slice(0, most), key, create, (node, row) => update(node, row, at));
    show(byId('unknown-more'), rows.length > most);
    say(byId('unknown-none'), setUp.seesTopics
      ? rows.length > 0 ? 'Something sends this, each under a name of its own. Tap the tank that it is in, then what it measures there.'
        : 'Everything that probes send here feeds a tank.'
      : 'These pages run apart from the watch, so no new probe is seen or assigned here. Write the name it sends under (its topic) under “mappings” in opercle.yaml, the same for the services ingest and analyse, and start both again. What was assigned before goes on feeding its tank.');
    keyed(byId('assigned'), setUp.assigned, key, createAssigned,
      (node, { tank }) => say(node.firstChild.firstChild, setUp.tanks.find(({ id }) => id === tank)?.name ?? 'A tank that is no longer in the farm'));
    show(byId('assigned-part'), setUp.assigned.length > 0);
  }

  const key = ({ topic, pointer = '-' }) => `${topic} ${pointer}`;

  /** Where it stands now: the button that was pressed is gone. */
  const focusOn = (list, item) =>
    ([...byId(list).children].find((node) => node.dataset.key === key(item)) ?? byId(list)).querySelector('button')?.focus();

  function create({ topic, pointer, value }) {
    const place = el('p', {}, 'Sent under ', el('code', {}, topic), pointer ? `, the value called ${inItWords(pointer)}` : '');
    const node = el('li', {}, place, el('p', { class: 'figure' }),
      el('p', { class: 'quiet' }, el('span', { class: 'stale', hidden: '' }, 'stale'), el('span', {})));
    if (value !== undefined) {
      const taps = el('div', { class: 'acts', role: 'group', 'aria-label': `Which tank what is sent under ${topic}${pointer ? `, ${inItWords(pointer)},` : ''} is of` });
      node.append(taps);
      chooseTank(taps, topic, pointer);
    }
    return node;
  }

  function update(node, { value, shown, everySeconds, last }, at) {
    say(node.children[1], value === undefined ? shown || 'nothing in it' : String(value));
    const often = everySeconds === undefined ? 'once'
      : everySeconds < 1.5 ? 'every second' : everySeconds < 100 ? `every ${Math.round(everySeconds)} s`
        : `every ${Math.round(everySeconds / 60)} min`;
    const age = Math.max(0, (at - Date.parse(last)) / 1000);
    const stale = age > Math.max(STALE_AFTER, 5 * (everySeconds ?? 0));
    node.dataset.stale = String(stale);
    const [mark, when] = node.children[2].children;
    show(mark, stale);
    say(when, `${value === undefined ? 'No number in it that could be read; ' : 'Sent without a unit; '}${often}, ${ageWords(age)}`);
  }

  function chooseTank(taps, topic, pointer) {
    taps.replaceChildren(...known.tanks.map(({ id, name }) => {
      const button = el('button', { type: 'button', value: id }, name);
      button.addEventListener('click', () => chooseQuantity(taps, topic, pointer, id, name));
      return button;
    }));
  }

  function chooseQuantity(taps, topic, pointer, tank, name) {
    const value = known.unknown.find((seen) => seen.topic === topic)?.values
      .find((v) => v.pointer === pointer)?.value;
    const back = el('button', { type: 'button', value: 'back' }, 'Another tank');
    back.addEventListener('click', () => {
      chooseTank(taps, topic, pointer);
      taps.firstElementChild?.focus();
    });
    taps.replaceChildren(...likely(known.quantities, topic, pointer, value).map((quantity, i) => {
      const unit = quantityUnit(quantity);
      const words = `${quantityWords(quantity.id)}${unit ? `, ${unit}` : ''}`;
      const button = el('button', { type: 'button', value: quantity.id, ...(i === 0 && { class: 'solid' }) },
        i === 0 ? `${name}: ${words}` : words);
      button.addEventListener('click', () => act(
        (by) => ({ method: 'POST', path: '/api/v1/setup/topics', body: { by, topic, pointer, tank, quantity: quantity.id } }),
        `${topic} feeds ${name} now: ${words}. If that is wrong, take it back under Assigned here.`)
        .then((done) => done && focusOn('assigned', { topic, pointer }), () => {}));
      return button;
    }), back);
    taps.firstElementChild.focus();
  }

  function createAssigned({ topic, pointer, quantity }) {
    const button = el('button', { type: 'button' }, 'Take back');
    button.setAttribute('aria-label', `Take back ${topic}${pointer ? ` ${inItWords(pointer)}` : ''}`);
    button.addEventListener('click', () => act(
      (by) => ({ method: 'POST', path: '/api/v1/setup/topics/take-back', body: { by, topic, pointer } }),
      `${topic} feeds no tank any more.`)
      .then((done) => done && focusOn('unknown', { topic, pointer }), () => {}));
    return el('li', { class: 'between' },
      el('p', {}, el('span', {}), `: ${quantityWords(quantity)}, sent under `, el('code', {}, topic), pointer ? `, the value called ${inItWords(pointer)}` : ''), button);
  }
  return { draw };
}
