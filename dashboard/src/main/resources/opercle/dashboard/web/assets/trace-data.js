// SPDX-License-Identifier: Apache-2.0
// From the server's answer to what a chart and a table need. Pure.

import { shown } from './units.js';

const SILENT_GAP = 120; // seconds; a shorter step between readings is the probe's own pace

/** A silence longer than this breaks a line, seconds. */
export const gapOf = ({ partSeconds }) => Math.max(2.5 * partSeconds, SILENT_GAP);

/**
 * Columns for a chart: x, then min, max and mean for each probe, then the level at saturation.
 * Where nothing was measured for long there is a row of nulls, so that lines break.
 */
export function columns(answer) {
  const step = answer.partSeconds;
  const gap = gapOf(answer);
  const parts = answer.probes.map((probe) => probe.points.map(([s, min, mean, max]) => [s, min, max, mean]));
  const widths = answer.probes.map(() => 3);
  if (answer.saturation) {
    parts.push(answer.saturation);
    widths.push(1);
  }
  const rows = new Map();
  const width = widths.reduce((sum, w) => sum + w, 0);
  let offset = 0;
  parts.forEach((points, part) => {
    let last;
    for (const [second, ...values] of points) {
      if (last !== undefined && second - last > gap) {
        row(rows, last + step, width);
      }
      row(rows, second, width).splice(offset, widths[part], ...values);
      last = second;
    }
    offset += widths[part];
  });
  const xs = [...rows.keys()].sort((a, b) => a - b);
  return [xs, ...Array.from({ length: width }, (_, i) => xs.map((x) => rows.get(x)[i]))];
}

/**
 * Adds one reading of a single probe to such columns, if it is newer; what was not read in between
 * stays a hole.
 *
 * @return whether there was anything to add
 */
export function grow(data, answer, second, value) {
  const last = data[0].at(-1);
  if (value === undefined || !(second > last)) {
    return false;
  }
  const saturated = answer.saturation ? [data.at(-1).at(-1)] : [];
  if (second - last > gapOf(answer)) {
    data.forEach((column, i) => column.push(i === 0 ? last + answer.partSeconds : null));
  }
  [second, value, value, value, ...saturated].forEach((v, i) => data[i].push(v));
  return true;
}

function row(rows, x, width) {
  let found = rows.get(x);
  if (!found) {
    found = new Array(width).fill(null);
    rows.set(x, found);
  }
  return found;
}

/** A value of the server in this device's unit of its kind (units.js), if it has one. */
export const own = (kind, value) => (kind === undefined || value === undefined ? value : shown(kind, value));

/** An answer with all its points in this device's unit. */
export const inOwn = (kind, answer) => (kind === undefined ? answer : {
  ...answer,
  probes: answer.probes.map((probe) => ({
    ...probe, points: probe.points.map(([second, min, mean, max, ...count]) =>
      [second, ...[min, mean, max].map((v) => shown(kind, v)), ...count]),
  })),
});

/** Lowest and highest reading with their times; undefined where there is none. */
export function extremes(answer) {
  const points = answer.probes.flatMap((probe) => probe.points);
  if (points.length === 0) {
    return undefined;
  }
  const lowest = points.reduce((a, b) => (b[1] < a[1] ? b : a));
  const highest = points.reduce((a, b) => (b[3] > a[3] ? b : a));
  return { lowest: lowest[1], lowestAt: lowest[0], highest: highest[3], highestAt: highest[0] };
}

/** Gathers points into at most `count` equal parts of a span: start, smallest, mean, largest, and saturation. */
export function gathered(answer, from, to, count) {
  const length = (to - from) / count;
  const parts = new Map();
  for (const [second, min, mean, max, readings = 1] of answer.probes.flatMap((probe) => probe.points)) {
    const at = Math.min(count - 1, Math.max(0, Math.floor((second - from) / length)));
    const part = parts.get(at) ?? { min: Infinity, max: -Infinity, sum: 0, n: 0 };
    parts.set(at, {
      min: Math.min(part.min, min), max: Math.max(part.max, max), sum: part.sum + mean * readings, n: part.n + readings,
    });
  }
  const saturated = new Map(); // the last of each part
  for (const [second, value] of answer.saturation ?? []) {
    saturated.set(Math.min(count - 1, Math.max(0, Math.floor((second - from) / length))), value ?? undefined);
  }
  return Array.from({ length: count }, (_, at) => {
    const part = parts.get(at);
    return { start: from + at * length, ...(part && { min: part.min, max: part.max, mean: part.sum / part.n }),
      ...(saturated.has(at) && { saturated: saturated.get(at) }) };
  });
}
