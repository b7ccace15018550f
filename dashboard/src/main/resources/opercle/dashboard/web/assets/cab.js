// SPDX-License-Identifier: Apache-2.0
// The cab: chosen at a stop, then nothing to read, type or press until the next one.

import { tellDriving } from './at-the-wheel.js';
import { recall, remember } from './device.js';
import { el, keyed, say, show } from './dom.js';
import { begin, current } from './live.js';
import { turnOn } from './sound.js';
import { isDue, wordsFor } from './speech-plan.js';
import { isCalling, rank, summary } from './state.js';
import { playOnce, stop } from './voice.js';

const HOLD = 3000; // long enough that no bump of the road and no passing finger ends it
const BEFORE_SPEECH = 300;
const LONGEST_DRIVE = 12 * 3_600_000; // a page left on at home does not drive all night
const SAID_AGAIN_EVERY = 5 * 60_000; // it counts for an hour, as the road may be without a network
const byId = (id) => document.getElementById(id);
const choice = byId('choice');
const end = byId('end');
let said;
let failed = false;
let lock;

const isDriving = () => recall('cab') === 'driving';
const canSpeak = () => 'speechSynthesis' in window && speechSynthesis.getVoices().length > 0;
const chosen = () => {
  const kept = recall('cab-tanks');
  return kept ? kept.split(' ') : current().tanks.filter((t) => t.kind === 'transport').map((t) => t.id);
};

function draw(state, at) {
  document.body.dataset.driving = String(isDriving());
  show(byId('standing'), !isDriving());
  show(byId('driving'), isDriving());
  keyed(choice, state.tanks, (tank) => tank.id, box, (label, tank) => {
    say(label.lastElementChild, tank.name);
    label.firstElementChild.checked = chosen().includes(tank.id);
  });
  say(byId('can-speak'), canSpeak()
    ? 'This device can speak. Turn its volume up; Start says a sentence as a test.'
    : 'This device has no voice: it will sound, but not speak. Take another one if you can.');
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
  say(byId('cab-words'), words?.text ?? summary({ ...state, tanks: behind }, at));
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
  const names = current().tanks.filter(({ id }) => chosen().includes(id)).map(({ name }) => name);
  speak(`Alarms of ${names.join(' and ') || 'no tank'} will be spoken like this. Drive safely.`);
  keepAwake();
  draw(current(), Date.now());
});

let holding;
function hold() {
  holding ??= setTimeout(() => {
    remember('cab', 'standing');
    tellDriving(false);
    speechSynthesis?.cancel();
    stop();
    lock?.release();
    release();
    draw(current(), Date.now());
    byId('start').focus();
  }, HOLD);
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
end.addEventListener('contextmenu', (event) => event.preventDefault());
setInterval(() => isDriving() && Date.now() - Number(recall('cab-since')) < LONGEST_DRIVE && tellDriving(true), SAID_AGAIN_EVERY);
document.addEventListener('visibilitychange', () => isDriving() && !document.hidden && keepAwake());

begin(draw, () => false, () => {}); // here the tone belongs to the words
