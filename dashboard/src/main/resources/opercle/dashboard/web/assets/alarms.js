// SPDX-License-Identifier: Apache-2.0
// The alarms: those that stand, and those of the past.

import { alarmList } from './alarm-list.js';
import { pastOrigins, standingOrigins } from './alarm-origins.js';
import { el, keyed, say, show } from './dom.js';
import { ask, judge } from './feed.js';
import { begin, current, entitle, nameOf } from './live.js';
import { whoIsIt } from './name.js';
import { minutesBetween, occurrences } from './occurrences.js';
import { past } from './past.js';
import { settledOrder } from './settled.js';
import { alarmsOf, standingWords } from './state.js';
import { inOwnUnits } from './units.js';
import { wherePart } from './whence.js';
import { causeWords, dayAndClockWords, minutesWords, RANKS } from './words.js';

const REFRESH = 15_000;

const summary = document.getElementById('summary');
const standing = document.getElementById('standing');
const pastList = document.getElementById('past');
const trouble = document.getElementById('trouble');
const missing = document.getElementById('missing');
const earlier = document.getElementById('earlier');

const settled = settledOrder(() => draw(current()));
const known = past((query) => ask(`/api/v1/alarms?${new URLSearchParams(query)}`));

function draw(state) {
  const tanks = settled(state.tanks.filter((tank) => alarmsOf(tank).length > 0));
  const words = standingWords(state);
  say(summary, words);
  entitle(words);
  show(document.getElementById('none-standing'), state.version !== '' && !state.lostAt && tanks.length === 0);
  keyed(standing, tanks, (tank) => tank.id, tankPart, (node, tank) => node.draw(tank));
}

function tankPart(tank) {
  const list = alarmList(undefined, { acts: true });
  const link = el('a', { href: `/tank/${encodeURIComponent(tank.id)}` });
  const whence = wherePart();
  const node = el('section', { class: 'standing-tank' }, el('h3', {}, link), list.root, whence.root);
  node.draw = (now) => {
    say(link, now.name);
    list.draw(now, alarmsOf(now));
    whence.draw(`the alarms of ${now.name}`, () => standingOrigins(now, alarmsOf(now)).map(inOwnUnits));
  };
  return node;
}

function drawPast() {
  const alarms = occurrences(known.events(), known.verdicts());
  keyed(pastList, alarms, ({ key }) => key, item, (node, alarm) => node.draw(alarm));
  show(document.getElementById('none-past'), alarms.length === 0);
  show(earlier, known.begun());
  const gaps = known.missing();
  const events = gaps.reduce((sum, gap) => sum + gap.events, 0);
  say(missing, events === 0 ? ''
    : `${events} events are missing here, since ${dayAndClockWords(Date.parse(gaps[0].first))}: the disk took nothing then.`);
  show(missing, events > 0);
}

function item() {
  const shape = el('span', { class: 'shape', 'aria-hidden': 'true' });
  const title = el('strong', {});
  const message = el('p', {});
  const story = el('p', { class: 'quiet' });
  const something = el('button', { type: 'button' }, 'There was something');
  const nothing = el('button', { type: 'button' }, 'There was nothing');
  const acts = el('div', { class: 'row' }, something, nothing);
  const problem = el('p', { class: 'trouble', role: 'alert', hidden: '' });
  const whence = wherePart();
  const node = el('li', {}, el('p', {}, shape, title), message, story, whence.root, acts, problem);
  let drawn;

  const saying = (wasTrue) => async () => {
    const by = await whoIsIt();
    if (!by) {
      return;
    }
    show(problem, false);
    try {
      await judge(drawn, wasTrue, by);
      await refresh();
    } catch (error) {
      say(problem, `Not noted. ${error.message}`);
      show(problem, true);
    }
  };
  something.addEventListener('click', saying(true));
  nothing.addEventListener('click', saying(false));

  node.draw = (alarm) => {
    drawn = alarm;
    const name = `${nameOf(alarm.tank)}: ${causeWords(alarm.cause)}`;
    say(shape, RANKS[alarm.worst].shape);
    say(title, name);
    say(message, inOwnUnits(alarm.message));
    say(story, storyWords(alarm));
    whence.draw(`${name}, ${dayAndClockWords(Date.parse(alarm.since))}`, () => pastOrigins(alarm));
    something.setAttribute('aria-pressed', String(alarm.verdict?.wasTrue === true));
    nothing.setAttribute('aria-pressed', String(alarm.verdict?.wasTrue === false));
    something.setAttribute('aria-label', `There was something: ${name}`);
    nothing.setAttribute('aria-label', `There was nothing: ${name}`);
    show(acts, known.takesVerdicts());
  };
  return node;
}

function storyWords({ since, whole, cleared, end, acknowledged, worst }) {
  const parts = [`${dayAndClockWords(Date.parse(since))}. ${RANKS[worst].word}.`];
  if (acknowledged) {
    parts.push(`${acknowledged.by ?? 'Somebody'} had it after ${minutesWords(minutesBetween(since, acknowledged.time))}.`);
  } else {
    parts.push(whole ? 'Nobody said “I have it”.' : 'What was done about it at first is under Earlier.');
  }
  if (cleared) {
    parts.push(`Gone after ${minutesWords(minutesBetween(since, cleared))}.`);
  }
  if (!end) {
    parts.push('It still stands.');
  }
  return parts.join(' ');
}

async function refresh() {
  try {
    await known.refresh(current().now + 1000);
    drawPast();
    show(trouble, false);
  } catch (error) {
    say(trouble, `The past is not shown. ${error.message}`);
    show(trouble, true);
  }
}

earlier.addEventListener('click', async () => {
  earlier.disabled = true; // a second tap would ask the same again
  try {
    await known.earlier();
    drawPast();
  } catch (error) {
    say(trouble, `What is earlier is not shown. ${error.message}`);
    show(trouble, true);
  } finally {
    earlier.disabled = false;
  }
});

let begun = false;
begin((state) => {
  draw(state);
  if (!begun && state.now && state.farm) { // only then do the tanks have names
    begun = true;
    refresh();
    setInterval(refresh, REFRESH);
  }
});
