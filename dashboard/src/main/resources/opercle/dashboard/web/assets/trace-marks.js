// SPDX-License-Identifier: Apache-2.0
// What is drawn over a trace: when alarms stood, and where oxygen is going.

import { RANKS } from './words.js';

/** Alarms as bars at the top, from raised to their end; the shape says how urgent. */
export function drawAlarms(u, alarms, now, { ink, font, words }) {
  inside(u, (ctx, { left, width, top }, ratio) => {
    ctx.strokeStyle = ink;
    ctx.fillStyle = ink;
    ctx.font = font.replace('13px', `${12 * ratio}px`);
    ctx.textBaseline = 'top';
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
      if (words) {
        ctx.fillText(RANKS[worst].shape, Math.max(left, x) + 3 * ratio, top + 7 * ratio);
      }
    }
  });
}

/** What people did, as a dotted line from foot to top with a small flag. */
export function drawEvents(u, events, { quiet, font, words }) {
  inside(u, (ctx, { left, width, top, height }, ratio) => {
    ctx.strokeStyle = quiet;
    ctx.fillStyle = quiet;
    ctx.font = font.replace('13px', `${12 * ratio}px`);
    ctx.textBaseline = 'bottom';
    let free = left; // so that no words lie on others
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
      if (words && x >= free) {
        ctx.fillText(event.words, x + 7 * ratio, top + height - 2 * ratio);
        free = x + 12 * ratio + ctx.measureText(event.words).width;
      }
    }
  });
}

/** From the newest reading to the floor: the likeliest way dashed, and the band about it. */
export function drawForecast(u, expected, { ink, quiet, font }) {
  if (expected === undefined) {
    return;
  }
  inside(u, (ctx, box, ratio) => {
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
    ctx.fillStyle = ink;
    ctx.font = font.replace('13px', `${12 * ratio}px`);
    ctx.textAlign = 'right';
    ctx.textBaseline = 'bottom';
    ctx.fillText('if it goes on so', box.left + box.width - 4 * ratio, y - 6 * ratio);
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
