// SPDX-License-Identifier: Apache-2.0
// How things are said: values in, words out, in the units that this device shows.

import { amount, shown, unitOf } from './units.js';
import { isTwice } from './zone.js';

const CAUSES = {
  'gas-line-stopped': 'Gas has stopped',
  'gas-not-reaching-water': 'Gas is not reaching the water',
  'oxygen-falling': 'Oxygen is falling',
  'oxygen-low': 'Oxygen is low',
  'oxygen-high': 'Oxygen is too high',
  'cylinder-low': 'Cylinder is running low',
  'water-warm': 'Water is too warm',
  'oxygen-uneven': 'Two probes disagree',
  'probe-silent': 'A probe has gone quiet',
  'probe-suspect': 'Do not trust a probe',
  'load-too-heavy': 'More fish than the gas can keep',
  'held-too-long': 'Held too long',
  'waste-high': 'Waste is building up',
};

const GAS_WORK = new Set([
  'gas-line-stopped', 'gas-not-reaching-water', 'oxygen-falling', 'oxygen-low', 'cylinder-low',
  'load-too-heavy',
]);

/** Word and shape for each rank; the shapes differ without colour, and are hollow once it no longer calls. */
export const RANKS = {
  high: { word: 'Act now', shape: '▲', hollow: '△' },
  medium: { word: 'Go and look', shape: '◆', hollow: '◇' },
  low: { word: 'When you can', shape: '○', hollow: '○' },
  none: { word: 'No alarm', shape: '', hollow: '' },
};

/** Every cause that there are words for. */
export const CAUSE_IDS = Object.keys(CAUSES);

export const causeWords = (cause) => CAUSES[cause] ?? cause.replaceAll('-', ' ');

/** Minutes as a keeper says them; always cut, never rounded up: nobody may gain a minute by it. */
export function minutesWords(minutes) {
  if (minutes < 1) {
    return minutes > 0 ? '< 1 min' : '0 min';
  }
  if (minutes < 100) {
    return `${Math.floor(minutes)} min`;
  }
  if (minutes < 24 * 60) {
    const hours = Math.floor(minutes / 60);
    if (hours >= 6) {
      return `${hours} h`; // nothing here is known to the minute so far ahead
    }
    return `${hours} h ${String(Math.floor(minutes % 60)).padStart(2, '0')}`;
  }
  return 'over a day';
}

/** Time in hand in one or two words. */
export function handWords(hand) {
  switch (hand?.is) {
    case 'minutes': return minutesWords(hand.likely);
    case 'holding': return 'holding';
    default: return 'not known';
  }
}

/** What stands under the big figure. */
export function handLabel(hand) {
  switch (hand?.is) {
    case 'minutes':
      return hand.likely <= 0
        ? 'in hand: at the critical floor'
        : `in hand, ${spanWords(hand)} likely`;
    case 'holding': return 'oxygen is not running out';
    default: return hand?.why ?? 'nothing is known of this tank now';
  }
}

const spanWords = ({ low, high }) => {
  const [from, to] = [minutesWords(low), minutesWords(high)];
  return from === to ? from : `${to.endsWith(' min') ? from.replace(/ min$/, '') : from} to ${to}`;
};

/** The same, were the gas to stop. */
export function ifStopsWords(hand) {
  switch (hand?.is) {
    case 'minutes': return `if gas stops: ${minutesWords(hand.likely)}`;
    case 'holding': return 'if gas stops: still holding';
    default: return 'if gas stops: not known';
  }
}

export function ageWords(seconds) {
  if (seconds < 2) {
    return 'just now';
  }
  if (seconds < 100) {
    return `${Math.floor(seconds)} s ago`;
  }
  return `${minutesWords(seconds / 60)} ago`;
}

/** Which way oxygen goes. */
export function trendWords(slope) {
  if (slope === undefined) {
    return '';
  }
  const perTenMinutes = Math.abs(slope * 10);
  if (perTenMinutes < 0.05) {
    return 'steady';
  }
  return `${slope < 0 ? 'falling' : 'rising'} ${perTenMinutes.toFixed(1)} in 10 min`;
}

export const NOT_MEASURED = 'not measured';

const figure = (value, decimals, unit) =>
  value === undefined ? NOT_MEASURED : `${fixed(value, decimals)} ${unit}`;

/** A meter a little under nought says nought, not "-0.0". */
const fixed = (value, decimals) => value.toFixed(decimals).replace(/^-(?=0(\.0*)?$)/, '');

export const oxygenWords = (mgPerL) => figure(mgPerL, 1, 'mg/L');
export const percentWords = (percent) => (percent === undefined ? '' : `${percent.toFixed(0)} %`);
export const temperatureWords = (celsius) =>
  figure(celsius === undefined ? undefined : shown('temperature', celsius), 1, unitOf('temperature'));
export const flowWords = (lPerMin) => figure(lPerMin, lPerMin < 10 ? 1 : 0, 'L/min');

/** The farm's time zone, once the server has told it: a night at the farm reads the same from anywhere. */
let timeZone;
let told;

/** Kept once the zone is known: what is said of times before that would be by the device's clock. */
export const zoneKnown = new Promise((resolve) => {
  told = resolve;
});

export const useZone = (zone) => {
  timeZone = zone;
  told();
};

/** The zone; undefined, which is the device's, while it is not known. */
export const farmZone = () => timeZone;

/** With the zone's name in the hour that comes twice: 01:50 may be before 01:10 that night. */
const clock = (millis, how) => new Date(millis).toLocaleTimeString('en-GB', {
  hour: '2-digit', minute: '2-digit', ...how, timeZone, ...(isTwice(millis, timeZone) && { timeZoneName: 'short' }) });

export const clockWords = (millis) => clock(millis, {});

export const secondsWords = (millis) => clock(millis, { second: '2-digit' });

export const dayWords = (millis) =>
  new Date(millis).toLocaleDateString('en-GB', { day: 'numeric', month: 'short', timeZone });

export const dayOfYearWords = (millis) =>
  new Date(millis).toLocaleDateString('en-GB', { day: 'numeric', month: 'short', year: 'numeric', timeZone });

const DAY = 86_400_000;

/** The day that a week begins on, by its number of ISO 8601: "Monday 9 March 2026" of "2026-W11". */
export function weekWords(week) {
  const [year, number] = week.split('-W').map(Number);
  const fourth = new Date(Date.UTC(year, 0, 4)); // is always in the first week
  const monday = fourth.getTime() - (fourth.getUTCDay() + 6) % 7 * DAY + 7 * DAY * (number - 1);
  return new Date(monday).toLocaleDateString('en-GB', {
    weekday: 'long', day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' }).replace(',', '');
}

/** A day that was written down as one, such as 2026-03-20: the same wherever it is read. */
export const dateWords = (day) =>
  new Date(`${day}T12:00:00Z`).toLocaleDateString('en-GB', { day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' });

export const dayAndClockWords = (millis) => `${dayWords(millis)}, ${clockWords(millis)}`;

/** A sentence that was kept with its times in UTC, by the farm's clock. */
export const inFarmTime = (sentence) =>
  sentence.replace(/\d{1,2} [A-Z][a-z]{2,3} \d{4} \d\d:\d\d UTC/g, (utc) => {
    const millis = Date.parse(utc.replace('Sept ', 'Sep '));
    return Number.isNaN(millis) ? utc : `${dayOfYearWords(millis)}, ${clockWords(millis)}`;
  });

/** The fish in a tank. */
export function loadWords(tank) {
  const fish = tank.loads.filter((load) => load.kg > 0);
  return fish.length === 0
    ? 'No fish'
    : fish.map((load) => `${amount('mass', load.kg)} ${load.name}`).join(', ');
}

/** The short caution that goes with work on the gas; empty where none is called for. */
export function caution(tank, alarms) {
  if (!alarms.some((alarm) => GAS_WORK.has(alarm.cause))) {
    return '';
  }
  return supplyCaution(tank.supply);
}

export function supplyCaution(supply) {
  return supply.gas === 'oxygen'
    ? 'Oxygen feeds fire: no flame, oil or grease. Air the place. Follow the supplier’s data sheet.'
    : 'Electricity by water: switch off at the supply before you touch a blower.';
}
