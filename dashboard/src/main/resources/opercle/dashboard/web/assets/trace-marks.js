// SPDX-License-Identifier: Apache-2.0
// What is drawn over a trace: when alarms stood, and where oxygen is going.

import { RANKS } from './words.js';

/** Alarms as bars at the top, from raised to their end; the shape says how urgent. */
export function drawAlarms(u, alarms, now, ink) {
  inside(u, (ctx, { left, width, top }, ratio) => {
    ctx.strokeStyle = ink;
    ctx.fillStyle = ink;
    for (const { from, to, worst } of alarms) {
      const x = u.valToPos(from, 'x', true);
      const end = Math.max(x + 2 * ratio, u.valToPos(to ?? now, 'x', true));
      if (end < left || x > left + width) {
        continue;
      }
      ctx.globalAlpha = worst === 'low' ? 0.5 : 1;
      ctx.fillRect(x, top, end - x, (worst === 'high' ? 5 : 3) * ratio);
      ctx.globalAlpha = 0.35;
      ctx.fillRect(x, top, ratio, u.bbox.height);
      ctx.globalAlpha = 1;
    }
  });
}

const BELOW = [0.4, 1.2, 2, 2.8, 3.6]; // heights of a shape, under a bar

/** The shape of each alarm, under the beginning of its bar: the first place that no line runs through. */
export function nameAlarms(u, alarms, place, ink) {
  const { left, top, width } = u.bbox;
  for (const { from, to, worst } of alarms) {
    const x = Math.max(left, u.valToPos(from, 'x', true));
    if (x <= left + width && (to === undefined || u.valToPos(to, 'x', true) >= left)) {
      place(RANKS[worst].shape, { size: 12, colour: ink, places: (_, height) => BELOW.map((rows) => [x, top + rows * height]) });
    }
  }
}

/** What people did, as a dotted line from foot to top with a small flag. */
export function drawEvents(u, events, quiet) {
  inside(u, (ctx, { left, width, top, height }, ratio) => {
    ctx.strokeStyle = quiet;
    ctx.fillStyle = quiet;
    for (const event of events) {
      const x = u.valToPos(event.at, 'x', true);
      if (x < left || x > left + width) {
        continue;
      }
      ctx.lineWidth = ratio;
      ctx.setLineDash([2 * ratio, 3 * ratio]);
      ctx.beginPath();
      ctx.moveTo(x, top);
      ctx.lineTo(x, top + height);
      ctx.stroke();
      ctx.setLineDash([]);
      ctx.fillRect(x, top + height - 7 * ratio, 5 * ratio, 7 * ratio);
    }
  });
}

/** The words of each, beside its flag; where there is no room the reader has them from the cursor and the table. */
export function nameEvents(u, events, place, quiet) {
  const { left, top, width, height } = u.bbox;
  for (const event of events) {
    const x = u.valToPos(event.at, 'x', true);
    if (x >= left && x <= left + width) {
      place(event.words, { size: 12, colour: quiet, places: (w, h) => [
        [x + 5 * devicePixelRatio, top + height - h], [x - w, top + height - h]] });
    }
  }
}

/** The edges of a forecast and its likeliest way, as lines of points. */
export function forecastLines(u, { from, oxygenMgPerL, floor, soonest, likely, latest }) {
  const place = (second, value) => [u.valToPos(second, 'x', true), u.valToPos(value, 'y', true)];
  return [soonest, likely, latest].map((at) => [place(from, oxygenMgPerL), place(at, floor)]);
}

/** Left upper corners for the words of a forecast: beside its lines, from its start down to the floor. */
export const besideForecast = (u, lines) => (width, height) => {
  const { left, top } = u.bbox;
  const right = left + u.bbox.width;
  const [[x, y], [, floor]] = lines[1];
  const rows = [y - 1.3 * height];
  for (let row = y; row < floor; row += 0.5 * height) {
    rows.push(row);
  }
  for (let row = y - 2 * height; row > top; row -= 0.5 * height) {
    rows.push(row);
  }
  return rows.flatMap((row) => [[right - width, row], [Math.min(x, right) - width, row]]);
};

/** From the newest reading to the floor: the likeliest way dashed, and the band about it. */
export function drawForecast(u, expected, { ink, quiet }) {
  if (expected === undefined) {
    return;
  }
  inside(u, (ctx, _, ratio) => {
    const x = (second) => u.valToPos(second, 'x', true);
    const [y, floor] = [expected.oxygenMgPerL, expected.floor].map((v) => u.valToPos(v, 'y', true));
    ctx.fillStyle = quiet;
    ctx.globalAlpha = 0.25;
    ctx.beginPath();
    ctx.moveTo(x(expected.from), y);
    ctx.lineTo(x(expected.soonest), floor);
    ctx.lineTo(x(expected.latest), floor);
    ctx.fill();
    ctx.globalAlpha = 1;
    ctx.strokeStyle = ink;
    ctx.lineWidth = 1.5 * ratio;
    ctx.setLineDash([3 * ratio, 3 * ratio]);
    ctx.beginPath();
    ctx.moveTo(x(expected.from), y);
    ctx.lineTo(x(expected.likely), floor);
    ctx.stroke();
  });
}

/** Draws only where the trace itself is. */
function inside(u, draw) {
  const { ctx, bbox } = u;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  draw(ctx, bbox, devicePixelRatio);
  ctx.restore();
}
