// SPDX-License-Identifier: Apache-2.0
// The alarm events that a page has fetched: one stretch of the past without a hole, which grows at
// both ends. Asks through the function that it is given; draws nothing.

import { keyOf } from './occurrences.js';

const WEEK = 7 * 86_400_000;
const iso = (millis) => new Date(millis).toISOString();
const nameOf = (event) => `${keyOf(event)} ${event.time} ${event.event} ${event.state} ${event.priority}`;

/** @param fetchPage a query of /api/v1/alarms to its answer */
export function past(fetchPage) {
  const [events, verdicts, gaps] = [new Map(), new Map(), new Map()];
  let first; // the earliest answer: where "earlier" goes on
  let takesVerdicts = false;

  /** Whether nothing is left between an answer and what is known. */
  const touches = (answer) => answer.events.length > 0 && events.has(nameOf(answer.events.at(-1)));

  function take(answer) {
    answer.events.forEach((event) => events.set(nameOf(event), event));
    for (const verdict of answer.verdicts) {
      const known = verdicts.get(keyOf(verdict));
      if (!known || Date.parse(known.time) <= Date.parse(verdict.time)) {
        verdicts.set(keyOf(verdict), verdict);
      }
    }
    answer.missing.forEach((gap) => gaps.set(gap.first, gap));
    takesVerdicts = answer.takesVerdicts;
  }

  return {
    /** Whether anything was asked yet. */
    begun: () => first !== undefined,
    events: () => [...events.values()],
    verdicts: () => [...verdicts.values()],
    missing: () => [...gaps.values()].sort((a, b) => Date.parse(a.first) - Date.parse(b.first)),
    takesVerdicts: () => takesVerdicts,

    /** What is new since: page by page back to what is known already, however much that is. */
    async refresh(now) {
      const from = first ? first.from : iso(now - WEEK);
      let answer = await fetchPage({ from, to: iso(now) });
      const pages = [answer];
      while (first && answer.next && !touches(answer)) {
        answer = await fetchPage({ from, to: answer.to, before: answer.next });
        pages.push(answer);
      }
      first ??= answer;
      pages.forEach(take); // only once they reach: a page that failed would leave a hole for good
    },

    /** What lies before the earliest that is known: the rest of its week, or the week before. */
    async earlier() {
      const { from, to, next } = first;
      const answer = await fetchPage(next ? { from, to, before: next }
        : { from: iso(Date.parse(from) - WEEK), to: from });
      take(answer);
      first = answer;
    },
  };
}
