// SPDX-License-Identifier: Apache-2.0
// Time in hand: the big figure, what it would be if the gas stopped, and a rule of time under both.

import { el, onPointing, say, show, svg } from './dom.js';
import { handOrigin } from './origins.js';
import { inHand } from './state.js';
import { handLabel, handWords, ifStopsWords } from './words.js';

const WIDTH = 320;
const END = 300; // the rule's last tick; beyond it lies "holding"
const LONGEST = 360;
const TICKS = [[0, '0'], [5, '5'], [15, '15'], [30, '30 min'], [60, '1 h'], [180, '3 h'], [360, '6 h']];

/** Early minutes get the room: they are the ones that are read in a hurry. */
const place = (minutes) =>
  8 + (END - 8) * Math.log1p(Math.min(minutes, LONGEST) / 4) / Math.log1p(LONGEST / 4);

export function handPart() {
  const figure = el('p', { class: 'figure' });
  const label = el('p', { class: 'quiet' });
  const ifStops = el('p', { class: 'if-stops' });
  const spread = svg('rect', { y: '15', height: '6', class: 'spread', rx: '1' });
  const likely = svg('path', { d: 'M-7 1 H7 L0 13 Z', class: 'likely' });
  const stopped = svg('path', { d: 'M-6 35 H6 L0 24 Z', class: 'stopped' });
  const rule = svg('svg', { class: 'rule', viewBox: `0 0 ${WIDTH} 52`, 'aria-hidden': 'true' },
    svg('path', { d: `M8 18 H${END} M${END + 4} 18 h4 m4 0 h4`, class: 'line' }),
    ...TICKS.map(([m]) => svg('path', { d: `M${place(m)} 14 v8`, class: 'line' })),
    ...TICKS.map(([m, text]) =>
      svg('text', { x: place(m), y: 50, 'text-anchor': m === 0 ? 'start' : 'middle' }, text)),
    spread, stopped, likely);
  const root = el('div', { class: 'hand' }, figure, label, ifStops, rule);
  let drawn;
  onPointing(root, () => (drawn ? handOrigin(drawn) : ''));

  function draw(tank) {
    const now = inHand(tank);
    drawn = tank;
    say(figure, handWords(now.hand));
    figure.classList.toggle('said', now.hand?.is !== 'minutes');
    say(label, handLabel(now.hand));
    say(ifStops, ifStopsWords(now.ifStops));
    show(ifStops, 'ifStops' in now);
    mark(likely, now.hand);
    mark(stopped, now.ifStops);
    const known = now.hand?.is === 'minutes';
    spread.setAttribute('x', known ? place(now.hand.low) : 0);
    spread.setAttribute('width', known ? Math.max(1, place(now.hand.high) - place(now.hand.low)) : 0);
  }
  return { root, draw };
}

function mark(node, hand) {
  const at = { minutes: () => place(hand.likely), holding: () => END + 12 }[hand?.is];
  node.setAttribute('visibility', at ? 'visible' : 'hidden');
  if (at) {
    node.setAttribute('transform', `translate(${at().toFixed(1)} 0)`);
  }
}
