// SPDX-License-Identifier: Apache-2.0
// What the probes say now.

import { el, say } from './dom.js';
import { flowWords, oxygenWords, percentWords, temperatureWords, trendWords } from './words.js';

export function valuesPart() {
  const oxygen = el('dd', {});
  const more = el('dd', { class: 'more' });
  const temperature = el('dd', {});
  const flow = el('dd', {});
  const root = el('dl', { class: 'values' },
    el('div', { class: 'oxygen' }, el('dt', {}, 'Oxygen'), oxygen, more),
    el('div', {}, el('dt', {}, 'Water'), temperature),
    el('div', {}, el('dt', {}, 'Gas, at 15 °C'), flow));

  function draw(state) {
    say(oxygen, oxygenWords(state.oxygenMgPerL));
    say(more, [percentWords(state.saturationPercent), trendWords(state.slopeMgPerLPerMin)]
      .filter((words) => words !== '').join(', '));
    say(temperature, temperatureWords(state.temperatureC));
    say(flow, flowWords(state.gasFlowLPerMin));
  }
  return { root, draw };
}
