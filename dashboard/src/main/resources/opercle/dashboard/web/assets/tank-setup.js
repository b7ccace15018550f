// SPDX-License-Identifier: Apache-2.0
// Fish in and out, and the probes that feed it, set up on a tank's own page: nobody has to leave it.

import { el, say, show } from './dom.js';
import { ask } from './feed.js';
import { fishForm } from './fish-form.js';
import { current } from './live.js';
import { sayOld } from './old.js';
import { actor, looker } from './setup-act.js';
import { openForm } from './setup-forms.js';
import { topicList } from './setup-topics.js';
import { farmTime } from './state.js';

const EVERY = 2000;

/** Fills a section of the page of one tank. */
export function setUpHere(section, id) {
  const said = el('p', { class: 'said', role: 'status' });
  const trouble = el('p', { class: 'trouble', role: 'alert', hidden: '' });
  const heading = el('h2', { tabindex: '-1' }, 'Probes that feed no tank yet');
  let opened;
  const leave = el('button', { type: 'button' }, 'Close');
  leave.addEventListener('click', () => {
    show(probes, false);
    show(section, false);
    opened?.focus();
  });
  const old = el('p', { class: 'trouble', hidden: '' });
  const probes = el('div', { hidden: '' }, heading, old, el('p', { id: 'unknown-none', class: 'quiet' }),
    el('ul', { id: 'unknown', class: 'list' }), el('button', { type: 'button', id: 'unknown-more', hidden: '' }, 'Show more of them'),
    el('div', { id: 'assigned-part', hidden: '' }, el('h2', {}, 'Assigned here'), el('ul', { id: 'assigned', class: 'list' })));
  const row = el('div', { class: 'row', id: 'set-up-close' }, leave);
  const forms = el('div', { tabindex: '-1' });
  section.append(said, trouble, forms, probes, row);
  let known;
  let readAt = 0;
  function draw() {
    section.dataset.stale = String(sayOld(old, readAt, current()));
    topics.draw({ ...known, tanks: known.tanks.filter((t) => t.id === id), assigned: known.assigned.filter(({ tank }) => tank === id),
      taken: known.assigned }, current().now ? farmTime(current(), Date.now()) : Date.now());
  }
  const look = looker(async () => {
    known = await ask('/api/v1/setup');
    readAt = Date.now();
    draw();
  }, (error) => !known && failed(error.message));
  const { act, failed } = actor({ said, trouble }, look);
  const topics = topicList(section, act);
  setInterval(() => !probes.hidden && look(), EVERY);
  setInterval(() => !probes.hidden && known && draw(), 1000); // values age when no answer comes

  /** @param what add, take or probe; `opener` has the focus afterwards */
  async function open(what, opener) {
    opened = opener;
    show(section, true);
    say(said, '');
    await look();
    const tank = known?.tanks.find((t) => t.id === id);
    show(probes, what === 'probe' && tank !== undefined);
    show(row, what === 'probe' || tank === undefined); // a form has a way out of its own
    forms.querySelector('form')?.remove();
    if (tank === undefined) {
      return;
    }
    if (what === 'probe') {
      heading.focus();
      section.scrollIntoView({ block: 'nearest' });
    } else {
      openForm(act, forms, fishForm(act, () => known, tank, what), opener);
    }
  }
  return { open };
}
