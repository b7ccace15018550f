// SPDX-License-Identifier: Apache-2.0
// What the probes say now: each value with its own age, stale by itself, and on pointing at it
// which probe said so.

import { el, onPointing, say, show } from './dom.js';
import { heardWords } from './origins.js';
import { valueOf } from './state.js';
import { ageWords, flowWords, oxygenWords, percentWords, temperatureWords, trendWords } from './words.js';

function value(heading, inWords, ...more) {
  const stale = el('span', { class: 'stale', hidden: '' }, 'stale');
  const old = el('span', { class: 'old' });
  const shown = el('span', {});
  const root = el('div', {}, el('dt', {}, heading, ' ', old),
    el('dd', {}, shown, ' ', stale), ...more);
  let heard;
  onPointing(root, () => heardWords(heading, heard));

  /** @param of the value and its reading, as `valueOf` gives them */
  function draw(of) {
    say(shown, inWords(of.value));
    say(old, of.age === undefined ? '' : `${of.value === undefined ? 'last read ' : ''}${ageWords(of.age)}`);
    root.dataset.stale = String(of.stale);
    show(stale, of.stale && of.value !== undefined);
    heard = of.heard;
  }
  return { root, draw };
}

export function valuesPart() {
  const more = el('dd', { class: 'more' });
  const [oxygen, temperature, flow] = [value('Oxygen', oxygenWords, more),
    value('Water', temperatureWords), value('Gas, at 15 °C', flowWords)];
  oxygen.root.classList.add('oxygen');
  const root = el('dl', { class: 'values' }, oxygen.root, temperature.root, flow.root);

  function draw(state, tank, at) {
    oxygen.draw(valueOf(state, tank, 'oxygen', at));
    say(more, [percentWords(tank.state.saturationPercent), trendWords(tank.state.slopeMgPerLPerMin)]
      .filter((words) => words !== '').join(', '));
    temperature.draw(valueOf(state, tank, 'temperature', at));
    flow.draw(valueOf(state, tank, 'gasFlow', at));
  }
  return { root, draw };
}
