// SPDX-License-Identifier: Apache-2.0
// What the probes say now, how old each of it is, and on pointing at it which probe said so.

import { el, say } from './dom.js';
import { ageWords, flowWords, heardWords, NOT_MEASURED, oxygenWords, percentWords, temperatureWords, trendWords } from './words.js';

function value(heading, ...more) {
  const old = el('span', { class: 'old' });
  const shown = el('dd', {});
  const root = el('div', {}, el('dt', {}, heading, ' ', old), shown, ...more);

  /** The value in words, and the reading that it is. */
  function draw(words, heard, now) {
    say(shown, words);
    const age = heard && words !== NOT_MEASURED ? ageWords(Math.max(0, (now - Date.parse(heard.time)) / 1000)) : '';
    say(old, age);
    const origin = heardWords(heading, heard);
    if (root.title !== origin) {
      root.title = origin;
    }
  }
  return { root, draw };
}

export function valuesPart() {
  const more = el('dd', { class: 'more' });
  const [oxygen, temperature, flow] = [value('Oxygen', more), value('Water'), value('Gas, at 15 °C')];
  oxygen.root.classList.add('oxygen');
  const root = el('dl', { class: 'values' }, oxygen.root, temperature.root, flow.root);

  /** @param now the farm's time, ms */
  function draw(state, now) {
    const heard = state.origins ?? {};
    oxygen.draw(oxygenWords(state.oxygenMgPerL), heard.oxygen, now);
    say(more, [percentWords(state.saturationPercent), trendWords(state.slopeMgPerLPerMin)]
      .filter((words) => words !== '').join(', '));
    temperature.draw(temperatureWords(state.temperatureC), heard.temperature, now);
    flow.draw(flowWords(state.gasFlowLPerMin), heard.gasFlow, now);
  }
  return { root, draw };
}
