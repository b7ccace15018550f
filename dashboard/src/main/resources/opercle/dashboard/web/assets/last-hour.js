// SPDX-License-Identifier: Apache-2.0
// Oxygen over the last hour, with the keeper's floor drawn in.

import { el, say, svg } from './dom.js';

const WIDTH = 320;
const HEIGHT = 64;
const STAYS = 10; // seconds in which an hour goes on by less than a pixel
const GAP = 180; // seconds without a point: the line is broken

export function lastHour() {
  const line = svg('path', { class: 'trace' });
  const floor = svg('path', { class: 'floor' });
  const drawing = svg('svg',
    { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, preserveAspectRatio: 'none', 'aria-hidden': 'true' },
    floor, line);
  const floorWords = el('span', {});
  const root = el('div', { class: 'last-hour' }, drawing,
    el('p', { class: 'quiet' }, el('span', {}, 'last hour'), floorWords));

  let drawn;
  let drawnAt = 0;

  function draw(points, floors, nowSeconds) {
    const what = `${points.length} ${points[0]} ${points.at(-1)} ${floors.keepMgPerL}`;
    if (what === drawn && Math.abs(nowSeconds - drawnAt) < STAYS) {
      return; // two hundred of them every second would leave a phone no time for anything else
    }
    [drawn, drawnAt] = [what, nowSeconds];
    const values = points.map(([, value]) => value);
    const low = Math.min(floors.keepMgPerL * 0.6, ...values);
    const high = Math.max(floors.keepMgPerL * 1.35, ...values);
    const x = (second) => WIDTH * (1 - (nowSeconds - second) / 3600);
    const y = (value) => HEIGHT - 3 - (HEIGHT - 6) * (value - low) / (high - low);
    line.setAttribute('d', points
      .map(([second, value], i) => {
        const broken = i === 0 || second - points[i - 1][0] > GAP;
        return `${broken ? 'M' : 'L'}${x(second).toFixed(1)} ${y(value).toFixed(1)}${broken ? 'h0' : ''}`; // a lone one is a dot
      })
      .join(''));
    floor.setAttribute('d', `M0 ${y(floors.keepMgPerL).toFixed(1)} H${WIDTH}`);
    say(floorWords, `floor ${floors.keepMgPerL.toFixed(1)} mg/L`);
  }
  return { root, draw };
}
