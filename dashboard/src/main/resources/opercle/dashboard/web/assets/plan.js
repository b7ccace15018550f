// SPDX-License-Identifier: Apache-2.0
// The load plan: asks as it is typed, and never leaves an old verdict looking like the answer.

import { remember } from './device.js';
import { say, show } from './dom.js';
import { ask, askWith } from './feed.js';
import { begin, current, entitle } from './live.js';
import { drawAnswer, VERDICTS } from './plan-answer.js';
import { planForm } from './plan-form.js';
import { filledFrom } from './plan-origins.js';
import { rateChoice } from './plan-rate.js';
import { farmTime, urgent } from './state.js';
import { inOwnUnits } from './units.js';
import { zoneKnown } from './words.js';

const SETTLE = 350;
const PLAN = 'plan-to-start'; // read by trips.js
const byId = (id) => document.getElementById(id);
let form;
let withRate;
let settling;
let asked = 0;
let title = 'Load plan';
let filled = '';
let planned; // the tank that it is for, where it came from one's page

function changed() {
  byId('plan').dataset.stale = 'true';
  clearTimeout(settling);
  settling = setTimeout(work, SETTLE);
}

async function work() {
  const mine = ++asked;
  try {
    const wanted = await withRate(form.read());
    const plan = await askWith('/api/v1/plan', wanted);
    if (mine === asked) { // a slow answer must not replace a later one
      remember(PLAN, JSON.stringify({ tank: planned, wanted }));
      byId('to-trip').href = `/trips?${new URLSearchParams({ plan: '1', ...(planned && { tank: planned }) })}`;
      form.mark([]);
      drawAnswer(plan, current().now ? farmTime(current(), Date.now()) : Date.now(), filled);
      title = `${VERDICTS[plan.verdict].words} · Load plan`;
      show(byId('answer'), true);
      byId('plan').dataset.stale = 'false';
    }
  } catch (error) {
    if (mine === asked) {
      noAnswer(error);
    }
  }
}

function noAnswer({ message, status, errors = [] }) {
  const others = form.mark(errors);
  const count = errors.length - others.length;
  const fields = count === 0 ? [] : [count === 1 ? 'One field needs you.' : `${count} fields need you.`];
  byId('verdict').dataset.verdict = 'none';
  say(byId('verdict'), 'No answer');
  say(byId('headline'), inOwnUnits([...fields, ...others.map(({ told, detail }) => told ?? detail), ...(errors.length === 0 ? [message] : [])].join(' ')));
  show(byId('answer'), false);
  byId('plan').dataset.stale = 'false';
  title = 'Load plan';
  if (status === 503) {
    settling = setTimeout(work, 1500); // others are asking
  }
}

async function start() {
  const [{ species }, { tanks }] = await Promise.all([ask('/api/v1/plan'), ask('/api/v1/tanks'), zoneKnown]);
  form = planForm(byId('form'), species, changed);
  withRate = rateChoice(byId('form'));
  const tank = tanks.find(({ id }) => id === new URLSearchParams(location.search).get('tank'));
  if (tank) {
    form.fill(tank);
    filled = filledFrom(tank);
    planned = tank.id;
  } else {
    form.addBatch({ kg: 80 });
  }
  work();
}

begin(({ tanks }) => entitle(urgent(tanks)?.words ?? title), () => true);
start().catch(({ message }) => {
  say(byId('verdict'), 'No answer');
  say(byId('headline'), `${message} Load the page again.`);
});
