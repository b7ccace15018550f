// SPDX-License-Identifier: Apache-2.0
// What has built up, on a tank's page.

import { el, renew } from './dom.js';
import { ask } from './feed.js';
import { holdingFacts, withdrawalWords } from './holding-words.js';
import { current } from './live.js';
import { oldWords } from './old.js';
import { inOwnUnits } from './units.js';
import { zoneKnown } from './words.js';

const REFRESH = 60_000;
const DRAW_EVERY = 5000;
const OLD_AFTER = 150; // seconds: two answers that did not come

/** Fills a section of a tank's page, and keeps it; hidden while there is nothing to tell. */
export function holdingPart(section, id) {
  const address = `/api/v1/tanks/${encodeURIComponent(id)}/holding`;

  let part;
  let readAt = 0;
  function draw() {
    const facts = holdingFacts(part);
    section.hidden = facts.length === 0 && part.withdrawals.length === 0;
    const old = oldWords(readAt, current(), OLD_AFTER);
    section.dataset.stale = String(old !== '');
    renew(section, [el('h2', { id: 'holding-heading' }, 'Held here'),
      el('p', { class: 'trouble', ...(old === '' && { hidden: '' }) }, old),
      ...part.withdrawals.map((w) => el('p', { class: 'soon' }, withdrawalWords(w))),
      ...(part.next ?? []).map((words) => el('p', {}, inOwnUnits(words))),
      el('dl', { class: 'facts' }, ...facts.map(([heading, sentence]) =>
        el('div', {}, el('dt', {}, heading), el('dd', {}, sentence)))),
      el('p', { class: 'row' }, el('a', { class: 'button', href: `/holding?tank=${encodeURIComponent(id)}` }, 'Feed, water, salt, tests, medicine'))]);
  }
  const look = () => Promise.all([ask(address), zoneKnown]).then(([answer]) => {
    part = answer;
    readAt = Date.now();
    draw();
  }, () => {}); // what stood there stays, and grows old
  look();
  setInterval(look, REFRESH);
  setInterval(() => part && draw(), DRAW_EVERY);
}
