// SPDX-License-Identifier: Apache-2.0
// Words beside the lines of a trace, set where none of its lines runs. Boxes and points are pixels.

const ROOM = 2; // between words and a line
const SPOTS = [0, 0.25, 0.5, 0.75, 1]; // along a line

/** Whether a line of [x, y] points, y null where it is broken, runs through a box. */
export function runsThrough(line, { left, right, top, bottom }) {
  return line.some(([x, y], i) => {
    if (y === null) {
      return false;
    }
    const next = line[i + 1];
    const [x2, y2] = next === undefined || next[1] === null ? [x, y] : next;
    const [from, to] = [Math.max(left, Math.min(x, x2)), Math.min(right, Math.max(x, x2))];
    if (from > to) {
      return false;
    }
    const [a, b] = x === x2 ? [y, y2] : [from, to].map((at) => y + (y2 - y) * (at - x) / (x2 - x));
    return Math.min(a, b) < bottom && Math.max(a, b) > top;
  });
}

const overlap = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

/** The first of these boxes that lies within another and that no line and no other words run through. */
export const freeOf = (boxes, within, lines, taken) => boxes.find((box) =>
  box.left >= within.left && box.right <= within.right && box.top >= within.top && box.bottom <= within.bottom
    && !taken.some((other) => overlap(box, other)) && !lines.some((line) => runsThrough(line, box)));

/** Left upper corners for words above or below a line, the leftmost first. */
export const beside = (line, within) => (width, height) => SPOTS.flatMap((spot) => {
  const x = within.left + (within.right - within.left - width) * spot;
  const ys = line.filter(([px, y]) => y !== null && px >= x - height && px <= x + width + height).map(([, y]) => y);
  return ys.length === 0 ? [] : [[x, Math.min(...ys) - height], [x, Math.max(...ys)]];
});

/** The lines of a chart in its pixels; a band from smallest to largest counts as a line that fills it. */
export function linesOf(u, probes) {
  const xs = u.data[0].map((x) => u.valToPos(x, 'x', true));
  const line = (ys) => xs.map((x, i) => [x, ys[i] === null || ys[i] === undefined ? null : u.valToPos(ys[i], 'y', true)]);
  const series = u.data.slice(1).map(line);
  const bands = Array.from({ length: probes }, (_, p) =>
    series[3 * p].flatMap((low, i) => [low, series[3 * p + 1][i]]));
  return { bands, series };
}

/**
 * Finds room for words, each where it disturbs none found before. To find it takes some milliseconds,
 * to write the words there (`writeAt`) takes next to none.
 *
 * @param lines that must be left free
 * @return `found`, what is to be written and where, and `place`: a function of words, size (px at a
 *     ratio of 1), colour and `places` (width and height to left upper corners, the best first), which
 *     says whether there was room
 */
export function placer(u, lines, font) {
  const { ctx, bbox } = u;
  const ratio = devicePixelRatio;
  const within = { left: bbox.left, right: bbox.left + bbox.width, top: bbox.top, bottom: bbox.top + bbox.height };
  const taken = [];
  const found = [];
  const place = (words, { size, colour, places }) => {
    const sized = font.replace('13px', `${size * ratio}px`);
    ctx.save();
    ctx.font = sized;
    const room = ROOM * ratio;
    const [width, height] = [ctx.measureText(words).width + 4 * room, 1.15 * size * ratio + 2 * room];
    ctx.restore();
    const box = freeOf(places(width, height).map(([left, top]) =>
      ({ left, top, right: left + width, bottom: top + height })), within, lines, taken);
    if (box) {
      taken.push(box);
      found.push({ words, font: sized, colour, x: box.left + 2 * room, y: (box.top + box.bottom) / 2, box });
    }
    return box !== undefined;
  };
  return { place, found };
}

/** Whether a line has come to lie under words that were found room for. */
export const coveredBy = (lines, found) => found.some(({ box }) => lines.some((line) => runsThrough(line, box)));

/** Writes what `placer` found room for. */
export function writeAt({ ctx }, found) {
  ctx.save();
  ctx.textAlign = 'left';
  ctx.textBaseline = 'middle';
  for (const { words, font, colour, x, y } of found) {
    ctx.font = font;
    ctx.fillStyle = colour;
    ctx.fillText(words, x, y);
  }
  ctx.restore();
}

/** By how many pixels at most a chart shows things elsewhere than it did: of `viewOf` then and now. */
export function shiftOf(before, now) {
  const scale = ([low, high], [from, to], size) =>
    size * Math.max(Math.abs(low - from), Math.abs(high - to)) / (high - low);
  return before.width === now.width && before.height === now.height
    ? Math.max(scale(now.x, before.x, now.width), scale(now.y, before.y, now.height)) : Infinity;
}

/** What a chart shows. */
export const viewOf = ({ scales, bbox: { width, height } }) => ({
  x: [scales.x.min, scales.x.max], y: [scales.y.min, scales.y.max], width, height,
});
