// SPDX-License-Identifier: Apache-2.0
// Which line is which probe's, in words, with a piece of the line.

import { el, keyed, svg } from './dom.js';

/** How the lines of several probes in one tank differ: by dash, not by colour. */
const DASHES = [
  { dash: [], words: 'solid line' },
  { dash: [7, 4], words: 'dashed line' },
  { dash: [2, 3], words: 'dotted line' },
  { dash: [10, 3, 2, 3], words: 'dashes and dots' },
  { dash: [14, 5], words: 'long dashes' },
];

export const dashOf = (i) => DASHES[i % DASHES.length].dash;

/** Said only where there are several. */
export function probeLegend() {
  const root = el('ul', { class: 'probe-lines quiet', hidden: '' });
  const draw = (probes) => {
    root.hidden = probes.length < 2;
    keyed(root, root.hidden ? [] : probes.map(({ probe }, i) => ({ probe, i })), ({ probe }) => probe, ({ probe, i }) =>
      el('li', {},
        svg('svg', { viewBox: '0 0 36 6', width: '36', height: '6', 'aria-hidden': 'true' },
          svg('line', { x1: '0', x2: '36', y1: '3', y2: '3', 'stroke-dasharray': dashOf(i).join(' ') })),
        ` Probe ${probe}: ${DASHES[i % DASHES.length].words}`), () => {});
  };
  return { root, draw };
}
