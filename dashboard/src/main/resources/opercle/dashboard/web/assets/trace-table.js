// SPDX-License-Identifier: Apache-2.0
// The traces as a table, for those who read rather than look.

import { el, labelled } from './dom.js';
import { gathered } from './trace-data.js';
import { dayAndClockWords, RANKS } from './words.js';

const ROWS = 24;

/** @param traces [{ heading, decimals, answer }] of one span */
export function traceTable(traces, span) {
  const parts = traces.map(({ answer }) => gathered(answer, span.from, span.to, ROWS));
  const columns = traces.flatMap(({ heading, decimals, answer }, i) => [
    [heading, ({ mean }) => mean],
    ...[['lowest', ({ min }) => min], ['highest', ({ max }) => max],
      ...(answer.saturation ? [['saturated', ({ saturated }) => saturated]] : [])]
      .map(([words, of]) => [`${heading.split(',')[0]}, ${words}`, of]),
  ].map(([words, of]) => ({ words, cell: (at) => told(of(parts[i][at]), decimals) })));
  const body = Array.from({ length: ROWS }, (_, i) => ROWS - 1 - i).map((at) =>
    el('tr', {},
      el('th', { scope: 'row' }, dayAndClockWords(parts[0][at].start * 1000)),
      ...columns.map(({ cell }) => el('td', {}, cell(at)))));
  return el('div', {},
    el('p', { class: 'quiet' }, `Each row is of the time to the next one, ${rowLength(span)}: the average of all readings in it, and the lowest and highest of them.`),
    el('div', { class: 'wide', tabindex: '0', role: 'region', 'aria-label': 'Traces as a table' },
      labelled(el('table', {},
        el('thead', {}, el('tr', {},
          el('th', { scope: 'col' }, 'From'), ...columns.map(({ words }) => el('th', { scope: 'col' }, words)))),
        el('tbody', {}, ...body)))));
}

function rowLength({ from, to }) {
  const minutes = (to - from) / ROWS / 60;
  return minutes < 120 ? `${+minutes.toFixed(minutes < 10 ? 1 : 0)} min` : `${+(minutes / 60).toFixed(1)} h`;
}

const told = (value, decimals) => (value === undefined ? '–' : value.toFixed(decimals));

/** The alarms that are marked on the traces. */
export function alarmTable(alarms) {
  const row = ({ from, to, worst, words }) => el('li', {},
    `${dayAndClockWords(from * 1000)} to ${to === undefined ? 'now' : dayAndClockWords(to * 1000)}: ${words} (${RANKS[worst].word})`);
  return el('div', { class: 'in-span' },
    el('h3', {}, 'Alarms in this time'),
    alarms.length === 0 ? el('p', {}, 'None is in the farm book.') : el('ul', {}, ...alarms.map(row)));
}

/** What people did, as it is marked on the traces. */
export function eventTable(events) {
  return el('div', { class: 'in-span' },
    el('h3', {}, 'What was done in this time'),
    events.length === 0 ? el('p', {}, 'Nothing is in the farm book.')
      : el('ul', {}, ...events.map(({ at, words }) => el('li', {}, `${dayAndClockWords(at * 1000)}: ${words}`))));
}
