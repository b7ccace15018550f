// SPDX-License-Identifier: Apache-2.0
// The alarms of one tank, in words, each with the button that says "I have it".

import { el, keyed, say, show } from './dom.js';
import { acknowledge } from './feed.js';
import { whoIsIt } from './name.js';
import { rankOf } from './state.js';
import { causeWords, caution, dayAndClockWords, RANKS } from './words.js';

/** @param adviceFor what to say under an alarm of what to do and how to be sure; usually nothing */
export function alarmList(adviceFor = () => undefined) {
  const list = el('ul', { class: 'alarms' });
  const warning = el('p', { class: 'caution' });
  const root = el('div', { class: 'alarm-part' }, list, warning);

  function draw(tank, alarms) {
    keyed(list, alarms, (alarm) => alarm.cause, () => item(adviceFor), (node, alarm) =>
      node.draw(tank, alarm));
    const words = caution(tank, alarms);
    say(warning, words);
    show(warning, words !== '');
    show(root, alarms.length > 0);
  }
  return { root, draw };
}

function item(adviceFor) {
  const shape = el('span', { class: 'shape', 'aria-hidden': 'true' });
  const cause = el('strong', {});
  const message = el('p', { class: 'message' });
  const toDo = el('dd', {});
  const toBeSure = el('dd', {});
  const ifIgnored = el('dd', {});
  const guidance = el('dl', { class: 'advice', hidden: '' },
    el('dt', {}, 'What to do'), toDo,
    el('dt', {}, 'How to be sure'), toBeSure,
    el('dt', {}, 'If nobody does'), ifIgnored);
  const who = el('p', { class: 'who' });
  const button = el('button', { class: 'solid have', type: 'button' }, 'I have it');
  const trouble = el('p', { class: 'trouble', role: 'alert', hidden: '' });
  const node = el('li', {},
    el('p', { class: 'cause' }, shape, cause), message, guidance, who, button, trouble);
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
    const known = adviceFor(alarm);
    say(message, withoutName(known ? known.finding : alarm.message, tank.name));
    say(toDo, known?.toDo ?? '');
    say(toBeSure, known?.toBeSure ?? '');
    say(ifIgnored, known?.ifIgnored ?? '');
    show(guidance, known !== undefined);
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
