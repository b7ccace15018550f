// SPDX-License-Identifier: Apache-2.0
// Which sound a page must make, and of what pulses it is made. Pure: state in, pattern out.
// Times in seconds, but `at` and everything that ends in At or Until is milliseconds.

import { farmTime } from './state.js';

/** A page that has lost the server, or the watch behind it, so long says so aloud. */
export const LOST_AFTER = 60_000;

/** A person who stops the sounds of a device does so for this long; then they are back. */
export const PAUSE = 120_000;

const DAY = { from: 7, to: 22 }; // hours of this device's clock

/**
 * The sounds. `pulses` are starts and ends within a period of `every`.
 *
 * high: the three-pulse temporal pattern of ISO 8201 on a square wave of 520 Hz, which wakes
 * sleepers better than any other sound that was tried (Thomas & Bruck 2010). lost: the same voice,
 * two long pulses. medium: three short pulses, as IEC 60601-1-8 has them for medium priority.
 */
export const PATTERNS = {
  high: { hertz: 520, wave: 'square', loudness: 0.8, every: 4, pulses: [[0, 0.5], [1, 1.5], [2, 2.5]] },
  lost: { hertz: 520, wave: 'square', loudness: 0.6, every: 6, pulses: [[0, 1], [1.5, 2.5]] },
  medium: { hertz: 440, wave: 'triangle', loudness: 0.35, every: 15, pulses: [[0, 0.2], [0.4, 0.6], [0.8, 1]] },
};

/**
 * What must sound: 'high', 'lost', 'medium' or 'none'.
 *
 * @param state what the page knows (state.js)
 * @param device { visible, hour, pausedUntil, silenced }: whether the page is seen, the device's hour
 *     of day, until when a person stopped its sounds, and until when single alarms, by `alarmKey`
 */
export function soundFor(state, at, { visible, hour, pausedUntil = 0, silenced = {} }) {
  if (at < pausedUntil) {
    return 'none';
  }
  const alarms = sounding(state, at, silenced).map(({ alarm }) => alarm);
  if (alarms.some((alarm) => alarm.priority === 'high')) {
    return 'high';
  }
  if (isLost(state, at)) {
    return 'lost';
  }
  const byDay = hour >= DAY.from && hour < DAY.to;
  return byDay && visible && alarms.some((alarm) => alarm.priority === 'medium') ? 'medium' : 'none';
}

/** Whether nothing is watched from here: the server is lost, or tells nothing new of the tanks. */
export const isLost = (state, at) => state.lostAt > 0 && at - state.lostAt >= LOST_AFTER
  || state.tanks.length > 0 && state.toldAt > 0 && at - state.toldAt >= LOST_AFTER;

/**
 * Whether an alarm makes a sound: its cause is there, and nobody has it or has put it aside. What has
 * gone by itself, latched or not, is low from then on (`rankOf` in state.js) and waits for somebody to
 * look, without a sound.
 */
export const sounds = (alarm) => alarm.state === 'unacknowledged' && alarm.annunciated !== false;

/** Names an alarm as it calls now; more urgent, it is another. */
export const alarmKey = (tankId, alarm) => `${tankId}/${alarm.cause}/${alarm.since}/${alarm.priority}`;

/**
 * Whether somebody silenced an alarm on this very device. That others did so on theirs is no reason
 * to be quiet here: whoever sleeps by this one has not heard it yet. The watch has the last word: it
 * takes a silence back when the alarm calls anew.
 *
 * @param silenced until when, by `alarmKey` and this device's clock
 * @param now the farm's time
 */
export function isSilencedHere(tankId, alarm, silenced, at, now) {
  const until = silenced[alarmKey(tankId, alarm)] ?? 0;
  return at < until && alarm.silencedUntil !== undefined && Date.parse(alarm.silencedUntil) > now;
}

const sounding = (state, at, silenced) => state.tanks.flatMap((tank) => (tank.state.alarms ?? [])
  .filter((a) => sounds(a) && !isSilencedHere(tank.id, a, silenced, at, farmTime(state, at)))
  .map((alarm) => ({ tank, alarm })));

/** The alarms that sound, by name: a new one ends a person's pause. */
export const soundingKeys = (state, at, silenced = {}) =>
  sounding(state, at, silenced).map(({ tank, alarm }) => alarmKey(tank.id, alarm));

/** The next pulses of a pattern that begun at `start`, between two instants of the same clock. */
export function pulsesBetween(pattern, start, from, to) {
  const found = [];
  for (let round = Math.max(0, Math.floor((from - start) / pattern.every) - 1);
    start + round * pattern.every < to; round += 1) {
    for (const [on, off] of pattern.pulses) {
      const begin = start + round * pattern.every + on;
      if (begin >= from && begin < to) {
        found.push([begin, begin + off - on]);
      }
    }
  }
  return found;
}

/** What is said of the sound on this device. */
export function soundWords({ wanted, allowed, pausedUntil = 0 }, at) {
  if (!wanted) {
    return 'Sound off';
  }
  if (!allowed) {
    return 'No sound yet';
  }
  return at < pausedUntil ? `Paused ${Math.ceil((pausedUntil - at) / 1000)} s` : 'Sound on';
}
