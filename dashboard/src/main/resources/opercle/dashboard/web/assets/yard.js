// SPDX-License-Identifier: Apache-2.0
// The yard: every tank, worst first.

import { keyed, say, show } from './dom.js';
import { ask } from './feed.js';
import { begin, change, current, entitle } from './live.js';
import { askName, knownName } from './name.js';
import { loggedInName } from './session.js';
import { isOutOfOrder, recalled, summary, worstFirst } from './state.js';
import { tankCard } from './tank-card.js';

const SORT_EVERY = 5000;
const SETTLED = 60_000; // minutes go up and down a little: cards do not hop for that
const HANDS_OFF = 3000; // cards stay where they are this long after a touch
const HOUR_EVERY = 60_000;

const cards = document.getElementById('tanks');
const heading = document.getElementById('summary');
const nameButton = document.getElementById('who');
let order = [];
let touched = -HANDS_OFF;
let sorted = 0;

function draw(state, at) {
  const tanks = new Map(state.tanks.map((tank) => [tank.id, tank]));
  if (order.length !== tanks.size || order.some((id) => !tanks.has(id))) {
    arrange(state.tanks);
  }
  keyed(cards, order.map((id) => tanks.get(id)), (tank) => tank.id, (tank) => tankCard(tank.id),
    (card, tank) => card.draw(state, tank, at));
  const words = summary(state, at);
  say(heading, words);
  entitle(words);
  show(nameButton, !loggedInName());
  say(nameButton, knownName() ? `You are ${knownName()}` : 'Say who you are');
}

function arrange(tanks) {
  order = worstFirst(tanks).map((tank) => tank.id);
  sorted = performance.now();
}

/** Alarms are put first at once; anything else can wait a little. */
function isDue() {
  const tanks = order.map((id) => current().tanks.find((tank) => tank.id === id));
  return tanks.every(Boolean) && isOutOfOrder(tanks) || performance.now() - sorted > SETTLED;
}

function sort() {
  const focused = document.activeElement;
  if (performance.now() - touched < HANDS_OFF || document.querySelector('dialog[open]') || !isDue()) {
    return;
  }
  arrange(current().tanks);
  draw(current(), Date.now());
  if (focused !== document.activeElement) {
    focused.focus({ preventScroll: true }); // moving a card takes the focus off its button
  }
}

async function recall() {
  try {
    change(recalled, await ask('/api/v1/last-hour'));
  } catch {
    // the traces stay as they are; the page says by itself when the server is lost
  }
}

for (const kind of ['pointerdown', 'pointermove', 'wheel', 'scroll']) {
  addEventListener(kind, () => { touched = performance.now(); }, { passive: true });
}
nameButton.addEventListener('click', async () => {
  await askName();
  draw(current(), Date.now());
});
setInterval(sort, SORT_EVERY);
setInterval(recall, HOUR_EVERY);
begin(draw);
recall();
