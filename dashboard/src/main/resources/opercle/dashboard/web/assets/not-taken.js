// SPDX-License-Identifier: Apache-2.0
// What probes sent that could not be used.

import { el, keyed, say, show } from './dom.js';
import { ask } from './feed.js';
import { begin } from './live.js';
import { inOwnUnits } from './units.js';
import { dayAndClockWords } from './words.js';

const TOO_OLD = 15_000;
let answeredAt = Date.now();

const REASONS = {
  'empty': 'Nothing in it',
  'too-large': 'Larger than any probe sends',
  'not-text': 'Not readable text',
  'malformed': 'Not in a form that is known here',
  'not-a-number': 'Not a number',
  'unknown-unit': 'A unit that does not fit',
  'out-of-range': 'A value that no tank has',
  'implausible-time': 'A time that cannot be right',
  'no-time': 'No time, and none can be told',
  'bad-name': 'A name that cannot be used',
  'unknown-topic': 'Sent under a name that belongs to no tank',
  'unknown-tank': 'A tank that this farm does not have',
};
const capital = (sentence) => sentence.replace(/^./, (first) => first.toUpperCase());
const words = (reason) => REASONS[reason] ?? reason.replaceAll('-', ' ');

const summary = document.getElementById('summary');
const counts = document.getElementById('counts');
const latest = document.getElementById('latest');

function draw({ total, counts: byReason, latest: newest }) {
  say(summary, total === 0 ? 'Everything was taken' : `${total === 1 ? 'One message' : `${total} messages`} could not be used since the start`);
  keyed(counts, Object.entries(byReason), ([reason]) => reason,
    ([reason]) => el('div', {}, el('dt', {}, words(reason)), el('dd', {})),
    (node, [, count]) => say(node.lastChild, String(count)));
  keyed(latest, newest, ({ time, source, detail }) => `${time} ${source} ${detail}`,
    ({ time, reason, source, detail }) => el('li', {},
      el('p', { class: 'quiet' }, `${dayAndClockWords(Date.parse(time))}, sent under `, el('code', {}, source)),
      el('p', {}, el('strong', {}, `${words(reason)}.`), ` ${capital(inOwnUnits(detail))}`)),
    () => {});
  show(document.getElementById('latest-part'), newest.length > 0);
}

async function refresh() {
  try {
    draw(await ask('/api/v1/not-taken'));
    answeredAt = Date.now();
  } catch {
    // it may be back at the next turn
  }
  drawOld();
}

/** An answer that has grown old says nothing of now, also where no other comes: it must not look alive. */
function drawOld() {
  const old = Date.now() - answeredAt > TOO_OLD;
  document.querySelector('main').dataset.stale = String(old);
  if (old) {
    say(summary, 'Not known: nothing new since what stands below');
  }
}

document.querySelector('main').append(el('p', { class: 'row' },
  el('a', { class: 'button', href: '/setup' }, 'Assign a probe to a tank'),
  el('a', { class: 'button', href: '/monitor' }, 'How the monitor itself is')));
begin(() => {}, () => true);
setInterval(drawOld, 1000);
refresh();
setInterval(refresh, 5000);
