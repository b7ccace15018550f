// SPDX-License-Identifier: Apache-2.0
// The cab: chosen at a stop, then nothing to read, type or press until the next one.

import { cabOrigins } from './alarm-origins.js';
import { tellDriving } from './at-the-wheel.js';
import { recall, remember } from './device.js';
import { el, keyed, say, show } from './dom.js';
import { begin, current } from './live.js';
import { turnOn } from './sound.js';
import { isDue, wordsFor } from './speech-plan.js';
import { farmTime, isCalling, rank, summary } from './state.js';
import { playOnce, stop } from './voice.js';
import { wherePart } from './whence.js';

const HOLD = 3000; // long enough that no bump of the road and no passing finger ends it
const ASKED_FOR = 10_000; // ms in which a second press ends it
const BEFORE_SPEECH = 300;
const LONGEST_DRIVE = 12 * 3_600_000; // a page left on at home does not drive all night
const SAID_AGAIN_EVERY = 5 * 60_000; // it counts for an hour, as the road may be without a network
const byId = (id) => document.getElementById(id);
const choice = byId('choice');
const end = byId('end');
let said;
let goneSaid = '';
let failed = false;
let lock;
const whence = wherePart();
byId('cab-whence').append(whence.root);

const isDriving = () => recall('cab') === 'driving';
const canSpeak = () => 'speechSynthesis' in window && speechSynthesis.getVoices().length > 0;
const kept = () => recall('cab-tanks').split(' ').filter(Boolean);
const isThere = (id) => current().tanks.some((tank) => tank.id === id);

/** Those that were chosen and are in the farm still; without any, all that are made for the road. */
const chosen = () => {
  const there = kept().filter(isThere);
  return there.length > 0 ? there : current().tanks.filter((t) => t.kind === 'transport').map((t) => t.id);
};

/** What was chosen here once and is no longer in the farm: nobody may trust in being told of it. */
const goneWords = () => (current().version === '' || kept().every(isThere) ? ''
  : `What was chosen here is not all in the farm any more. You are told of ${namesOf(chosen()) || 'no tank: stop when safe, and choose one'}.`);

const namesOf = (ids) => current().tanks.filter(({ id }) => ids.includes(id)).map(({ name }) => name).join(' and ');

function draw(state, at) {
  document.body.dataset.driving = String(isDriving());
  show(byId('standing'), !isDriving());
  show(byId('driving'), isDriving());
  keyed(choice, state.tanks, (tank) => tank.id, box, (label, tank) => {
    say(label.lastElementChild, tank.name);
    label.firstElementChild.checked = chosen().includes(tank.id);
  });
  say(byId('cab-gone'), goneWords());
  show(byId('cab-gone'), goneWords() !== '');
  say(byId('can-speak'), canSpeak()
    ? 'This device can speak. Turn its volume up; Start says a sentence as a test.'
    : 'This device has no voice: it will sound, but not speak. Take another one if you can.');
  // Before the start: at the wheel there is nothing to open.
  whence.draw('what is spoken', () => cabOrigins(state.tanks.filter(({ id }) => chosen().includes(id)), farmTime(state, at)));
  if (isDriving()) {
    drive(state, at);
  }
}

const box = (tank) => {
  const input = el('input', { type: 'checkbox', value: tank.id });
  input.addEventListener('change', () => {
    const ids = [...choice.querySelectorAll('input:checked')].map(({ value }) => value);
    remember('cab-tanks', ids.join(' '));
  });
  return el('label', {}, input, el('span', {}));
};

function drive(state, at) {
  const behind = state.tanks.filter(({ id }) => chosen().includes(id));
  const words = wordsFor(state, at, chosen());
  document.body.dataset.rank = words?.rank
    ?? (behind.some((tank) => rank(tank) === 'high' && isCalling(tank)) ? 'high' : 'none');
  const gone = goneWords();
  say(byId('cab-words'), words?.text ?? (behind.length === 0 && state.version !== '' ? gone || 'No tank is chosen' : summary({ ...state, tanks: behind }, at)));
  say(byId('cab-gone-driving'), behind.length > 0 ? gone : '');
  show(byId('cab-gone-driving'), gone !== '' && behind.length > 0);
  if (gone !== goneSaid) {
    goneSaid = gone;
    if (gone) {
      utter(gone, 'none');
    }
  }
  say(byId('cab-more'), behind.map(({ name }) => name).join(', '));
  const mute = muteWords();
  say(byId('cab-mute'), mute);
  show(byId('cab-mute'), mute !== '');
  say(byId('cab-speaks'), mute ? '' : 'Alarms are spoken aloud.');
  if (isDue(said, words, at)) {
    said = { key: words.key, at };
    utter(words.text, words.rank);
  } else if (!words) {
    said = undefined;
  }
}

function muteWords() {
  if (navigator.userActivation && !navigator.userActivation.hasBeenActive) {
    return 'Mute: this page was loaded anew. At the next stop, tap it once.';
  }
  return canSpeak() && !failed ? '' : 'No voice here: an alarm sounds, but is not spoken.';
}

/** The tone first, so that the words do not come out of nowhere. */
function utter(text, kind) {
  const seconds = playOnce(kind === 'none' ? 'medium' : kind);
  setTimeout(() => speak(text), seconds * 1000 + BEFORE_SPEECH);
}

function speak(text) {
  if (!canSpeak()) {
    return;
  }
  speechSynthesis.cancel(); // what is still waiting is older than this
  const utterance = new SpeechSynthesisUtterance(text);
  utterance.lang = 'en-GB';
  utterance.rate = 0.95;
  utterance.addEventListener('error', ({ error }) => {
    failed = error !== 'interrupted' && error !== 'canceled';
  });
  utterance.addEventListener('end', () => { failed = false; });
  speechSynthesis.speak(utterance);
}

async function keepAwake() {
  try {
    lock = await navigator.wakeLock?.request('screen');
  } catch {
    // the battery is low, or the page is behind another: the driver was told to use the charger
  }
}

byId('start').addEventListener('click', async () => {
  await turnOn();
  remember('cab', 'driving');
  remember('cab-since', String(Date.now()));
  tellDriving(true);
  said = undefined;
  speak(`Alarms of ${namesOf(chosen()) || 'no tank'} will be spoken like this. Drive safely.`);
  keepAwake();
  draw(current(), Date.now());
});

let holding;
function stand() {
  remember('cab', 'standing');
  tellDriving(false);
  window.speechSynthesis?.cancel();
  stop();
  lock?.release();
  release();
  askOnce();
  draw(current(), Date.now());
  byId('start').focus();
}
function hold() {
  holding ??= setTimeout(stand, HOLD);
  end.dataset.held = 'true';
}
function release() {
  clearTimeout(holding);
  holding = undefined;
  end.dataset.held = 'false';
}
end.addEventListener('pointerdown', hold);
for (const kind of ['pointerup', 'pointerleave', 'pointercancel', 'blur', 'keyup']) {
  end.addEventListener(kind, release);
}
end.addEventListener('keydown', ({ key }) => (key === 'Enter' || key === ' ') && hold());
byId('start').addEventListener('keydown', (event) => event.repeat && event.preventDefault()); // still held from the end

// A screen reader or a switch cannot hold: it presses, and is asked once more.
let asked;
const askOnce = () => {
  clearTimeout(asked);
  asked = undefined;
  say(end, 'Standing still? Hold to end');
};
let byFinger = false;
end.addEventListener('pointerdown', ({ width, height, pressure, pointerType }) => {
  const made = width === 0 && height === 0 || width === 1 && height === 1 && pressure === 0 && pointerType === 'mouse';
  byFinger = !made;
});
end.addEventListener('click', ({ detail }) => {
  const pressed = detail === 0 || !byFinger;
  byFinger = false;
  if (!pressed || holding) {
    return;
  }
  if (asked) {
    stand();
    return;
  }
  asked = setTimeout(askOnce, ASKED_FOR);
  say(end, 'Standing still? Press once more to end');
  say(byId('spoken'), 'Press once more to end.');
});
end.addEventListener('contextmenu', (event) => event.preventDefault());
setInterval(() => isDriving() && Date.now() - Number(recall('cab-since') ?? Date.now()) < LONGEST_DRIVE && tellDriving(true), SAID_AGAIN_EVERY);
document.addEventListener('visibilitychange', () => isDriving() && !document.hidden && keepAwake());

begin(draw, () => false, () => {}); // here the tone belongs to the words
