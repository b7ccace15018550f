// SPDX-License-Identifier: Apache-2.0
// The sound of this device: what it is set to, what it plays, and saying both on every page.

import { recall, remember } from './device.js';
import { el, say, show } from './dom.js';
import { PAUSE, PATTERNS, alarmKey, isSilencedHere, soundFor, soundingKeys, soundWords } from './sound-plan.js';
import { allow, isAllowed, play, playOnce } from './voice.js';

const WANTED = 'sound';
const SILENCED = 'silenced';
const FOLLOWED = 'opercle-followed';
const FOLLOWED_FOR = 10_000;
let pausedUntil = 0;
let heardKeys = new Set();
let last;

const wanted = () => recall(WANTED, 'on') === 'on';
const setting = () => ({ wanted: wanted(), allowed: isAllowed(), pausedUntil });

const link = el('a', { id: 'sound', class: 'sound', href: '/device' });
const words = el('p', { role: 'status' });
const button = el('button', { type: 'button' });
const bar = el('section', { class: 'sound-bar', 'aria-label': 'Whether this page may sound', hidden: '' }, words, button);
let press = () => {};

/** Puts the sound's state on the page. */
export function beginSound() {
  document.getElementById('night').before(link);
  document.querySelector('header.top').after(bar);
  button.addEventListener('click', () => press());
  for (const kind of ['click', 'keydown']) {
    addEventListener(kind, (event) => { // any tap is leave enough
      if (wanted() && !isAllowed() && (navigator.userActivation?.isActive ?? event.isTrusted)) {
        turnOn();
      }
      noteFollowed(event.target);
    });
  }
  if (wanted() && mayBeAllowed()) {
    turnOn();
  }
  drawSetting(Date.now());
}

/** Browsers carry leave to sound from a page to the one that a link on it leads to. */
function noteFollowed(target) {
  if (target instanceof Element && target.closest('a[href]') && isAllowed()) {
    try {
      sessionStorage.setItem(FOLLOWED, String(Date.now()));
    } catch {
      // storage is switched off: the next page asks for a tap
    }
  }
}

/** Whether asking without a tap is likely to be granted: after a link, or as an installed app. */
function mayBeAllowed() {
  let followed = 0;
  try {
    followed = Number(sessionStorage.getItem(FOLLOWED));
  } catch {
    // storage is switched off
  }
  return Date.now() - followed < FOLLOWED_FOR
    || matchMedia('(display-mode: standalone), (display-mode: fullscreen)').matches;
}

/** Follows the state; call it at every event and every second. */
export function followSound(state, at) {
  last = state;
  const keys = soundingKeys(state, at, silencedHere());
  if (keys.some((key) => !heardKeys.has(key))) {
    pausedUntil = 0; // somebody paused what they knew of; this is new
  }
  heardKeys = new Set(keys);
  const kind = soundFor(state, at, {
    visible: !document.hidden, hour: new Date(at).getHours(), pausedUntil, silenced: silencedHere(),
  });
  play(wanted() ? kind : 'none');
  document.body.dataset.sounding = wanted() && isAllowed() ? kind : 'none';
  drawSetting(at);
  drawBar(kind, state, at);
}

/** Until when which alarm is silenced on this device, by `alarmKey`. */
function silencedHere() {
  try {
    return JSON.parse(recall(SILENCED, '{}'));
  } catch {
    return {};
  }
}

/** Somebody has silenced an alarm on this device; on others it sounds on. */
export function silenceHere(tankId, alarm) {
  const now = Date.now();
  const kept = Object.entries(silencedHere()).filter(([, until]) => now < until);
  remember(SILENCED, JSON.stringify({ ...Object.fromEntries(kept), [alarmKey(tankId, alarm)]: now + PAUSE }));
  redraw();
}

/** Whether an alarm is silenced on this device, by what the watch said last. */
export const isQuietHere = (tankId, alarm) =>
  isSilencedHere(tankId, alarm, silencedHere(), Date.now(), -Infinity);

/** Whether this device is to sound, and may. */
export const soundState = () => ({ ...setting(), words: soundWords(setting(), Date.now()) });

/** Turns the sound on; only within a tap or key press is the browser sure to allow it. */
export async function turnOn() {
  const allowed = await allow().catch(() => false);
  if (allowed) {
    remember(WANTED, 'on');
  }
  redraw();
  return allowed;
}

export function turnOff() {
  remember(WANTED, 'off');
  play('none');
  redraw();
}

/** Plays a sound once, so that one knows how loud it is. */
export async function test(kind) {
  return (isAllowed() || await allow()) && playOnce(kind) > 0;
}

/** What the patterns are, for a page that explains them. */
export const kinds = Object.keys(PATTERNS);

function redraw() {
  if (last) {
    followSound(last, Date.now());
  } else {
    drawSetting(Date.now());
    drawBar('none', undefined, Date.now());
  }
}

function drawSetting(at) {
  say(link, soundWords(setting(), at));
  link.dataset.on = String(wanted() && isAllowed());
}

function drawBar(kind, state, at) {
  const [text, act, action, urgent] = bars(kind, state, at);
  say(words, text);
  say(button, act);
  press = action;
  bar.dataset.urgent = String(urgent);
  show(bar, text !== '');
}

/** Text, button, what the button does, and whether it is urgent. */
function bars(kind, state, at) {
  const waiting = WAITING[kind];
  const urgent = kind === 'high';
  if (!wanted()) {
    return waiting
      ? [`${waiting}, but sound is switched off on this device.`, 'Turn sound on', switchOn, urgent]
      : ['', '', () => {}, false];
  }
  if (!isAllowed()) {
    return waiting
      ? [`${waiting}, but this browser keeps quiet until you tap.`, 'Let it sound', turnOn, urgent]
      : ['Sound is off on this device: no alarm can be heard here.', 'Tap to allow', turnOn, false];
  }
  if (at < pausedUntil) {
    return [`This device is quiet for ${Math.ceil((pausedUntil - at) / 1000)} s more. A new alarm ends that.`,
      'Sound again', () => pause(0), false];
  }
  if (kind === 'none') {
    return ['', '', () => {}, false];
  }
  return [SOUNDING[kind], 'Pause 2 min here', () => pause(Date.now() + PAUSE), false];
}

/** What would be heard now. */
const WAITING = {
  high: 'An alarm sounds now',
  lost: 'Nothing new of the tanks for over a minute, which would sound',
};

const SOUNDING = {
  high: 'Sounding: a tank needs somebody now. It stops when somebody has it.',
  medium: 'Sounding: a tank needs a look.',
  lost: 'Sounding: nothing new of the tanks for over a minute. Nothing is watched from here.',
};

function switchOn() {
  remember(WANTED, 'on');
  turnOn();
}

function pause(until) {
  pausedUntil = until;
  redraw();
}
