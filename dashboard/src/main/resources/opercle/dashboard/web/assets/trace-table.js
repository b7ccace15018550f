// SPDX-License-Identifier: Apache-2.0
// The traces as a table, for those who read rather than look.

import { el } from './dom.js';
import { gathered } from './trace-data.js';
import { dayAndClockWords, RANKS } from './words.js';

const ROWS = 24;

/** @param traces [{ heading, decimals, answer }] of one span */
export function traceTable(traces, span) {
  const parts = traces.map(({ answer }) => gathered(answer, span.from, span.to, ROWS));
  const cell = (part, key, decimals) =>
    el('td', {}, part[key] === undefined ? '–' : part[key].toFixed(decimals));
  const body = Array.from({ length: ROWS }, (_, i) => ROWS - 1 - i).map((at) =>
    el('tr', {},
      el('th', { scope: 'row' }, dayAndClockWords(parts[0][at].start * 1000)),
      ...traces.flatMap(({ decimals, lowest }, i) => [
        cell(parts[i][at], 'mean', decimals),
        ...(lowest ? [cell(parts[i][at], 'min', decimals)] : []),
      ])));
  return el('div', { class: 'wide', tabindex: '0', role: 'region', 'aria-label': 'Traces as a table' },
    el('table', {},
      el('thead', {}, el('tr', {},
        el('th', { scope: 'col' }, 'From'),
        ...traces.flatMap(({ heading, lowest }) => [
          el('th', { scope: 'col' }, heading),
          ...(lowest ? [el('th', { scope: 'col' }, 'lowest')] : []),
        ]))),
      el('tbody', {}, ...body)));
}

/** The alarms that are marked on the traces. */
export function alarmTable(alarms) {
  const row = ({ from, to, worst, words }) => el('li', {},
    `${dayAndClockWords(from * 1000)} to ${to === undefined ? 'now' : dayAndClockWords(to * 1000)}: ${words} (${RANKS[worst].word})`);
  return el('div', { class: 'in-span' },
    el('h3', {}, 'Alarms in this time'),
    alarms.length === 0 ? el('p', {}, 'None is in the farm book.') : el('ul', {}, ...alarms.map(row)));
}
