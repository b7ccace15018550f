// SPDX-License-Identifier: Apache-2.0
// Makes the sounds of sound-plan.js, from oscillators alone: there is no audio file to go missing.

import { PATTERNS, pulsesBetween } from './sound-plan.js';

const AHEAD = 8; // seconds planned ahead: a page that is not looked at is woken only now and then
const EDGE = 0.01; // seconds of rise and fall, against clicks

let context;
let playing;

/** Whether the browser lets this page sound. */
export const isAllowed = () => context?.state === 'running';

/**
 * Asks the browser to let this page sound. Only within a tap or a key press is it sure to agree.
 *
 * @return a promise of whether it does
 */
export async function allow() {
  context ??= new AudioContext();
  if (context.state !== 'running') {
    // An answer that never comes is a no: without a tap some browsers just wait.
    await Promise.race([context.resume(), new Promise((done) => { setTimeout(done, 1000); })]);
  }
  return isAllowed();
}

/** Plays a pattern until told otherwise; 'none' is silence. Call it every second or so. */
export function play(kind) {
  if (!isAllowed()) {
    return;
  }
  const now = context.currentTime;
  if (kind === 'none') {
    if (!(playing?.until > now)) {
      hush(); // a test is heard to its end
    }
    return;
  }
  if (playing?.kind !== kind) {
    hush();
    playing = { kind, start: now + 0.05, planned: now, voices: new Set() };
  }
  const to = now + AHEAD;
  for (const [on, off] of pulsesBetween(PATTERNS[kind], playing.start, playing.planned, to)) {
    pulse(PATTERNS[kind], Math.max(on, now), off);
  }
  playing.planned = to;
}

/**
 * Plays a pattern once, unless something sounds already.
 *
 * @return how long it takes, seconds; 0 if it is not played
 */
export function playOnce(kind) {
  if (!isAllowed() || playing && !(playing.until <= context.currentTime)) {
    return 0;
  }
  const { pulses } = PATTERNS[kind];
  const start = context.currentTime + 0.05;
  const length = pulses.at(-1)[1];
  playing = { kind: 'once', until: start + length, voices: new Set() };
  pulses.forEach(([on, off]) => pulse(PATTERNS[kind], start + on, start + off));
  return length;
}

/** Stops at once. */
export const stop = () => hush();

function hush() {
  playing?.voices.forEach((voice) => {
    voice.stop();
    voice.disconnect();
  });
  playing = undefined;
}

function pulse({ hertz, wave, loudness }, on, off) {
  const gain = new GainNode(context, { gain: 0 });
  gain.gain.setValueAtTime(0, on);
  gain.gain.linearRampToValueAtTime(loudness, on + EDGE);
  gain.gain.setValueAtTime(loudness, off - EDGE);
  gain.gain.linearRampToValueAtTime(0, off);
  const voice = new OscillatorNode(context, { type: wave, frequency: hertz });
  const { voices } = playing;
  voices.add(voice);
  voice.addEventListener('ended', () => {
    voices.delete(voice);
    gain.disconnect();
  });
  voice.connect(gain).connect(context.destination);
  voice.start(on);
  voice.stop(off);
}
