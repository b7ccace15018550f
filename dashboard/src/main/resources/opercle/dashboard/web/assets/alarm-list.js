// SPDX-License-Identifier: Apache-2.0
// The alarms of one tank, in words, each with the button that says "I have it".

import { el, keyed, say, show } from './dom.js';
import { acknowledge } from './feed.js';
import { whoIsIt } from './name.js';
import { rankOf } from './state.js';
import { causeWords, caution, dayAndClockWords, RANKS } from './words.js';

export function alarmList() {
  const list = el('ul', { class: 'alarms' });
  const warning = el('p', { class: 'caution' });
  const root = el('div', { class: 'alarm-part' }, list, warning);

  function draw(tank, alarms) {
    keyed(list, alarms, (alarm) => alarm.cause, item, (node, alarm) =>
      node.draw(tank, alarm));
    const words = caution(tank, alarms);
    say(warning, words);
    show(warning, words !== '');
    show(root, alarms.length > 0);
  }
  return { root, draw };
}

function item() {
  const shape = el('span', { class: 'shape', 'aria-hidden': 'true' });
  const cause = el('strong', {});
  const message = el('p', { class: 'message' });
  const who = el('p', { class: 'who' });
  const button = el('button', { class: 'solid have', type: 'button' }, 'I have it');
  const trouble = el('p', { class: 'trouble', role: 'alert', hidden: '' });
  const node = el('li', {},
    el('p', { class: 'cause' }, shape, cause), message, who, button, trouble);
  let drawn;

  button.addEventListener('click', async () => {
    const by = await whoIsIt();
    if (!by) {
      return;
    }
    const { tank, alarm } = drawn;
    button.disabled = true;
    show(trouble, false);
    try {
      await acknowledge(tank.id, alarm.cause, by);
    } catch (error) {
      say(trouble, `Not noted. ${error.message}`);
      show(trouble, true);
    } finally {
      button.disabled = false;
    }
  });

  node.draw = (tank, alarm) => {
    drawn = { tank, alarm };
    const rank = rankOf(alarm);
    const gone = alarm.state === 'returned-unacknowledged';
    node.dataset.rank = rank;
    node.dataset.open = String(alarm.state !== 'acknowledged');
    say(shape, RANKS[rank].shape);
    say(cause, causeWords(alarm.cause));
    say(message, withoutName(alarm.message, tank.name));
    say(who, whoWords(alarm, gone));
    show(button, alarm.state !== 'acknowledged');
    button.setAttribute('aria-label', `I have it: ${causeWords(alarm.cause)}, ${tank.name}`);
  };
  return node;
}

/** The message names the tank first, for phones; here the tank's name stands above already. */
const withoutName = (message, name) =>
  message.startsWith(`${name}: `) ? upper(message.slice(name.length + 2)) : message;

const upper = (text) => text.charAt(0).toUpperCase() + text.slice(1);

function whoWords(alarm, gone) {
  const since = `Since ${dayAndClockWords(Date.parse(alarm.since))}`;
  if (gone) {
    return `${since}. It has gone again; nobody had it.`;
  }
  return alarm.acknowledgedBy ? `${alarm.acknowledgedBy} has it. ${since}.` : `${since}.`;
}
