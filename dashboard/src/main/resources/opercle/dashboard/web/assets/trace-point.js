// SPDX-License-Identifier: Apache-2.0
// What a chart says of the place that is pointed at: which readings, from when, and what is marked there. Pure.

import { gapOf } from './trace-data.js';
import { dayAndClockWords, dayWords, secondsWords } from './words.js';

const ONE_READING = 1; // seconds; a part no longer than this holds the reading of its own second

const told = (value, { decimals, unit }) => `${value.toFixed(decimals)} ${unit}`;

/**
 * What a probe's part of the time says: a reading, or what was made of several.
 *
 * @param point [second, least, mean, most, how many], as the server tells it; without how many it is
 *     a reading of just now
 */
export function pointWords([, least, mean, most, count = 1], what) {
  const of = (value) => value.toFixed(what.decimals);
  return count === 1 ? told(mean, what)
    : `${told(mean, what)}, the average of ${count} readings (least ${of(least)}, most ${of(most)})`;
}

/** From when to when such a part is. */
export const partWords = (second, partSeconds) => (partSeconds <= ONE_READING
  ? `${dayWords(second * 1000)}, ${secondsWords(second * 1000)}`
  : `${dayWords(second * 1000)}, ${secondsWords(second * 1000)} to ${secondsWords((second + partSeconds) * 1000)}`);

/**
 * @param answer of the server
 * @param second where it is pointed at
 * @param shown the second of the nearest thing drawn; undefined where there is none
 * @param newest [least, most, mean] of each probe as it is drawn there, for what came after the answer
 */
export function readWords(answer, second, shown, newest, what) {
  const near = shown !== undefined && Math.abs(shown - second) <= gapOf(answer);
  const read = near ? answer.probes.map(({ probe, points }, i) => {
    const point = points.find(([at]) => at === shown);
    const [least, most, mean] = newest[i];
    return { probe, words: point ? pointWords(point, what) : typeof mean === 'number' ? pointWords([shown, least, mean, most], what) : undefined, isNow: !point };
  }).filter(({ words }) => words !== undefined) : [];
  if (read.length === 0) {
    return `${dayAndClockWords(second * 1000)}: nothing measured`;
  }
  const words = answer.probes.length === 1 ? read[0].words : read.map((one) => `probe ${one.probe} ${one.words}`).join('; ');
  return `${partWords(shown, read.every(({ isNow }) => isNow) ? 0 : answer.partSeconds)}: ${words}`;
}

/** Where the lines of traces, and what is drawn beside them, are from; a sentence each. */
export const traceOrigins = (answer, probes) => [
  `Each line: for every ${partLength(answer.partSeconds)} of the time shown the average of what the probe read, as a band from the least to the most. Point at it, or tap it, to see of how many readings.`,
  ...(probes.length > 0 ? [`Read by ${probes.join(', ')}.`] : []),
  'Saturated: worked out from the water’s temperature as it was read then, its salt and the pressure of the air where a probe reads them; else for fresh water at this height above the sea.',
  'Floors: by the books for this load, or as set for the tank. “If it goes on so” is the time in hand, an estimate.',
  'Marks: alarms as the watch raised them, and what people noted or wrote down, each at the time it was done; from the farm book.',
];

const partLength = (seconds) => (seconds < 90 ? `${Math.max(1, Math.round(seconds))} s` : `${Math.round(seconds / 60)} min`);
