// SPDX-License-Identifier: Apache-2.0
// The alarms of one tank, in words, each with what a person can do about it.

import { el, keyed, say, show } from './dom.js';
import { doTo, returnToService } from './feed.js';
import { nameOf } from './live.js';
import { whoIsIt } from './name.js';
import { isQuietHere, silenceHere } from './sound.js';
import { sounds } from './sound-plan.js';
import { isGone, isOpen, quietWords, rankOf } from './state.js';
import { inOwnUnits } from './units.js';
import { causeWords, caution, clockWords, dayAndClockWords, RANKS } from './words.js';

/**
 * @param adviceFor what to say under an alarm of what to do and how to be sure; usually nothing
 * @param acts whether to offer more than "I have it": silence, reset, put aside
 */
export function alarmList(adviceFor = () => undefined, { acts = false } = {}) {
  const list = el('ul', { class: 'alarms' });
  const warning = el('p', { class: 'caution' });
  const banners = el('ul', { class: 'banners' });
  const root = el('div', { class: 'alarm-part' }, banners, list, warning);

  function draw(tank, alarms) {
    keyed(list, alarms, (alarm) => alarm.cause, () => item(adviceFor, acts), (node, alarm) =>
      node.draw(tank, alarm));
    const out = tank.state.outOfService ?? [];
    keyed(banners, out, (order) => order.cause ?? 'all', () => banner(acts), (node, order) =>
      node.draw(tank, order));
    const words = caution(tank, alarms);
    say(warning, words);
    show(warning, words !== '');
    show(root, alarms.length > 0 || out.length > 0);
  }
  return { root, draw };
}

/** What is out of service stands here until it is back. */
function banner(acts) {
  const words = el('p', {});
  const back = el('button', { type: 'button' }, 'Back in service');
  const trouble = el('p', { class: 'trouble', role: 'alert', hidden: '' });
  const node = el('li', { class: 'banner' }, words, back, trouble);
  let drawn;
  onTap(back, trouble, (by) => returnToService(drawn.tank.id, drawn.order.cause, by), document.querySelector('main'));
  node.draw = (tank, order) => {
    drawn = { tank, order };
    const what = order.cause === undefined ? 'Out of service' : `${causeWords(order.cause)}: out of service`;
    say(words, `${what} until ${dayAndClockWords(Date.parse(order.until))}: ${order.reason} (${order.by}). Its alarms call nobody.`);
    show(back, acts);
  };
  return node;
}

/**
 * A button that asks who it is and says so; what goes wrong is told beside it.
 *
 * @param then where somebody who uses keys goes on: what was done takes its button away
 */
function onTap(button, trouble, act, then) {
  then.tabIndex = -1;
  button.addEventListener('click', async () => {
    const by = await whoIsIt();
    if (!by) {
      return;
    }
    const byKeys = button.matches(':focus-visible');
    let next = then;
    button.disabled = true;
    show(trouble, false);
    try {
      await act(by);
    } catch (error) {
      say(trouble, `Not noted. ${error.message}`);
      show(trouble, true);
      next = button;
    } finally {
      button.disabled = false;
    }
    if (byKeys) {
      next.focus({ preventScroll: true });
    }
  });
}

const SHELF_MINUTES = [10, 30, 120, 480];

function item(adviceFor, acts) {
  const shape = el('span', { class: 'shape', 'aria-hidden': 'true' });
  const cause = el('strong', {});
  const urgency = el('span', { class: 'urgency' });
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
  const more = {
    reset: el('button', { type: 'button' }, 'I have looked: done'),
    silence: el('button', { type: 'button' }, 'Sound off here for 2 min'),
    unshelve: el('button', { type: 'button' }, 'Take it back'),
  };
  const minutes = el('select', { 'aria-label': 'For how long' });
  const shelve = el('button', { type: 'button' }, 'Put aside');
  const aside = el('span', { class: 'aside' }, minutes, shelve);
  const others = el('div', { class: 'acts' }, ...Object.values(more), aside);
  const node = el('li', {},
    el('p', { class: 'cause' }, shape, cause, ' ', urgency), message, guidance, who, button, others, trouble);
  let drawn;
  let longest;

  const does = (act, rest) => (by) => doTo(drawn.tank.id, drawn.alarm.cause, act, by, rest?.());
  const silence = async (by) => {
    const { tank, alarm } = drawn;
    await doTo(tank.id, alarm.cause, 'silence', by);
    silenceHere(tank.id, alarm);
  };
  onTap(button, trouble, does('acknowledge'), who);
  for (const [act, node_] of Object.entries(more)) {
    onTap(node_, trouble, act === 'silence' ? silence : does(act), who);
  }
  onTap(shelve, trouble, does('shelve', () => ({ minutes: Number(minutes.value) })), who);

  function offer(tank, alarm) {
    const { state } = alarm;
    show(button, state === 'unacknowledged' || state.endsWith('-unacknowledged'));
    show(more.reset, acts && state.startsWith('latched-'));
    show(more.silence, acts && sounds(alarm) && !isQuietHere(tank.id, alarm));
    show(more.unshelve, acts && state === 'shelved');
    show(aside, acts && (state === 'unacknowledged' || state === 'acknowledged'));
    show(others, acts);
    if (longest !== alarm.longestShelfMinutes) { // not at every second: somebody may be choosing
      longest = alarm.longestShelfMinutes;
      minutes.replaceChildren(...SHELF_MINUTES.filter((m) => m <= (longest ?? 30)).map((m) =>
        el('option', { value: m }, m < 60 ? `for ${m} min` : `for ${m / 60} h`)));
    }
    for (const [node_, words] of [[button, 'I have it'], [shelve, 'Put aside'],
      ...Object.values(more).map((b) => [b, b.textContent])]) {
      node_.setAttribute('aria-label', `${words}: ${causeWords(alarm.cause)}, ${tank.name}`);
    }
  }

  node.draw = (tank, alarm) => {
    drawn = { tank, alarm };
    const rank = rankOf(alarm);
    node.dataset.rank = rank;
    node.dataset.open = String(isOpen(alarm));
    say(shape, isOpen(alarm) ? RANKS[rank].shape : RANKS[rank].hollow);
    say(cause, causeWords(alarm.cause));
    say(urgency, isOpen(alarm) ? RANKS[rank].word : `${quietWords(alarm)}; it called “${RANKS[alarm.priority].word}”`);
    const known = adviceFor(alarm);
    say(message, inOwnUnits(withoutName(known ? known.finding : alarm.message, tank.name)));
    say(toDo, known?.toDo ?? '');
    say(toBeSure, known?.toBeSure ?? '');
    say(ifIgnored, known?.ifIgnored ?? '');
    show(guidance, known !== undefined);
    say(who, whoWords(tank.id, alarm));
    offer(tank, alarm);
  };
  return node;
}

/** The message names the tank first, for phones; here the tank's name stands above already. */
const withoutName = (message, name) =>
  message.startsWith(`${name}: `) ? upper(message.slice(name.length + 2)) : message;

const upper = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** Where it stands, and with whom. */
function whoWords(tankId, alarm) {
  const since = `Since ${dayAndClockWords(Date.parse(alarm.since))}`;
  const until = alarm.until && dayAndClockWords(Date.parse(alarm.until));
  const has = alarm.acknowledgedBy && `${alarm.acknowledgedBy} has it.`;
  switch (alarm.state) {
    case 'shelved': return `${alarm.by} put it aside until ${until}. ${since}.`;
    case 'out-of-service': return `Out of service until ${until} (${alarm.by}). ${since}.`;
    case 'suppressed': return `The same trouble as in ${nameOf(alarm.root?.tank)}, whose alarm speaks for it. ${since}.`;
    case 'latched-acknowledged':
    case 'latched-unacknowledged':
      return `${has ? `${has} ` : ''}${since}. It ended by itself; look why, then say so here.`;
    default:
  }
  if (isGone(alarm)) {
    return `${since}. It has gone again; nobody had it.`;
  }
  const silenced = alarm.silencedUntil
    ? ` Sound off ${isQuietHere(tankId, alarm) ? 'here' : 'on another device'} until ${clockWords(Date.parse(alarm.silencedUntil))}.` : '';
  return `${has ? `${has} ` : ''}${since}.${silenced}`;
}
