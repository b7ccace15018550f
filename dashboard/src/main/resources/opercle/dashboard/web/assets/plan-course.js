// SPDX-License-Identifier: Apache-2.0
// The water over the trip: a line and its band for each figure, and the same as a table.

import { el, labelled, svg } from './dom.js';

const WIDE = 300;
const HIGH = 130;
const LEFT = 34;
const FOOT = 18;
const ROWS = 9;

const QUANTITIES = [
  { field: 'oxygenMgPerL', title: 'Oxygen, mg/L', decimals: 1, limit: (plan) => plan.keepFloorMgPerL },
  { field: 'tanMgPerL', title: 'All ammonia, mg/L as nitrogen', decimals: 1, limit: limitOf('ammonia') },
  { field: 'carbonDioxideMgPerL', title: 'Carbon dioxide, mg/L', decimals: 0, limit: limitOf('carbon-dioxide') },
];

function limitOf(topic) {
  return ({ reasons }) => reasons.find((r) => r.topic === topic && r.unit.startsWith('mg'))?.limit;
}

/** The three small drawings. */
export const courses = (plan) => QUANTITIES.map((what) => drawing(plan, what));

function drawing(plan, { field, title, decimals, limit }) {
  const points = plan.course.map((point) => ({ minutes: point.minutes, ...point[field] }));
  const line = limit(plan);
  const end = points.at(-1);
  const most = Math.max(...points.map(({ high }) => high), line ?? 0) * 1.08 || 1;
  const x = (minutes) => LEFT + (WIDE - LEFT - 6) * minutes / end.minutes;
  const y = (value) => (HIGH - FOOT) - (HIGH - FOOT - 8) * Math.min(value, most) / most;
  const path = (edge, of = points) => of.map((p) => `${x(p.minutes).toFixed(1)} ${y(p[edge]).toFixed(1)}`).join('L');
  const said = (value) => value.toFixed(decimals);
  const words = `${title}: ${said(points[0].likely)} at loading, ${said(end.likely)} at the end; at the end between `
    + `${said(end.low)} and ${said(end.high)}.${line === undefined ? '' : ` Limit ${said(line)}.`}`;
  const text = (at, up, anchor, content) => svg('text', { 'x': at, 'y': up, 'text-anchor': anchor }, content);
  return el('figure', {},
    el('figcaption', {}, title),
    svg('svg', { 'viewBox': `0 0 ${WIDE} ${HIGH}`, 'role': 'img', 'aria-label': words },
      svg('path', { class: 'axis', d: `M${LEFT} 4V${HIGH - FOOT}H${WIDE - 4}` }),
      svg('path', { class: 'band', d: `M${path('high')}L${path('low', [...points].reverse())}Z` }),
      ...(line === undefined ? [] : [svg('path', { class: 'limit', d: `M${LEFT} ${y(line)}H${WIDE - 4}` })]),
      svg('path', { class: 'likely', d: `M${path('likely')}` }),
      text(LEFT - 4, 14, 'end', said(most)),
      text(LEFT - 4, HIGH - FOOT, 'end', '0'),
      text(LEFT, HIGH - 3, 'start', 'loading'),
      text(WIDE - 4, HIGH - 3, 'end', `${Math.round(end.minutes)} min`)));
}

/** Every sixth moment as a table: expected, and from best to worst. */
export function courseTable({ course }) {
  const every = (course.length - 1) / (ROWS - 1);
  const rows = Array.from({ length: ROWS }, (_, i) => course[Math.round(i * every)]);
  return el('div', { class: 'wide', tabindex: '0', role: 'region', 'aria-label': 'The trip as a table' },
    labelled(el('table', {},
      el('thead', {}, el('tr', {}, el('th', { scope: 'col' }, 'Since loading'),
        ...QUANTITIES.map(({ title }) => el('th', { scope: 'col' }, title)))),
      el('tbody', {}, ...rows.map((row) => el('tr', {},
        el('th', { scope: 'row' }, `${Math.round(row.minutes)} min`),
        ...QUANTITIES.map(({ field, decimals }) => {
          const { low, likely, high } = row[field];
          return el('td', {}, `${likely.toFixed(decimals)}, or ${low.toFixed(decimals)} to ${high.toFixed(decimals)}`);
        })))))));
}
