// SPDX-License-Identifier: Apache-2.0
// The yard: every tank, worst first.

import { keyed, say, show } from './dom.js';
import { ask } from './feed.js';
import { begin, change, current, entitle } from './live.js';
import { askName, knownName } from './name.js';
import { loggedInName } from './session.js';
import { settledOrder } from './settled.js';
import { recalled, summary } from './state.js';
import { tankCard } from './tank-card.js';

const HOUR_EVERY = 60_000;

const cards = document.getElementById('tanks');
const heading = document.getElementById('summary');
const nameButton = document.getElementById('who');
const settled = settledOrder(() => draw(current(), Date.now()));

function draw(state, at) {
  keyed(cards, settled(state.tanks), (tank) => tank.id, (tank) => tankCard(tank.id),
    (card, tank) => card.draw(state, tank, at));
  const words = summary(state, at);
  say(heading, words);
  entitle(words);
  show(nameButton, !loggedInName());
  say(nameButton, knownName() ? `You are ${knownName()}` : 'Say who you are');
}

async function recall() {
  try {
    change(recalled, await ask('/api/v1/last-hour'));
  } catch {
    // the traces stay as they are; the page says by itself when the server is lost
  }
}

nameButton.addEventListener('click', async () => {
  await askName();
  draw(current(), Date.now());
});
setInterval(recall, HOUR_EVERY);
begin(draw);
recall();
