// SPDX-License-Identifier: Apache-2.0
// What has built up in a holding tank, in sentences. Pure.

import { amount, densityWords } from './units.js';
import { clockWords, dateWords, dayAndClockWords } from './words.js';

const DENSITIES = { easy: 'easy', full: 'full', heavy: 'heavy', extreme: 'far too heavy' };
const BASES = { 'measured': 'measured', 'since-measured': 'reckoned since it was measured', 'estimated': 'reckoned', 'set': 'set for the tank' };

const figure = (value) => (value < 0.0005 ? '0' : value >= 10 ? value.toFixed(0) : value >= 1 ? value.toFixed(1) : value >= 0.1 ? value.toFixed(2) : value.toFixed(3));

/** Likely, range, how it is known, from when. */
function valueWords({ likely, low, high, basis, since, method }, unit) {
  const range = high > low ? ` (${figure(low)} to ${figure(high)})` : '';
  return `${figure(likely)}${unit ? ` ${unit}` : ''}${range}, ${BASES[basis] ?? basis} from ${dayAndClockWords(Date.parse(since))}: ${method}.`;
}

const withLimit = (value, unit) => `${valueWords(value, unit)} Should stay under ${value.limit} ${unit}.`;

function daysWords({ daysHeld, daysLimit, daysAreTheKeepers }) {
  const limit = `at most ${+daysLimit.toFixed(1)} days, ${daysAreTheKeepers ? 'as you set it' : 'as is common practice'}`;
  return daysHeld === undefined ? `Not known since when; ${limit}.` : `${daysHeld.toFixed(1)} days; ${limit}.`;
}

/** Pairs of heading and sentence for a tank with fish. */
export function holdingFacts(part) {
  if (!part.stocked) {
    return [];
  }
  const guide = part.densityGuideKgPerM3;
  return [
    ['Held', daysWords(part)],
    ['Density', `${densityWords(part.densityKgPerM3)}, by the fish and the water under Tanks and probes: ${DENSITIES[part.density]}. Common practice: full at ${densityWords(guide.likely)}, too much at ${densityWords(guide.high)}.`],
    ['Ammonia, all of it', part.tanMgPerL ? valueWords(part.tanMgPerL, 'mg/L as nitrogen') : 'Not known.'],
    ['Its poisonous part', part.ammoniaMgPerL ? withLimit(part.ammoniaMgPerL, 'mg/L') : 'Not known without pH.'],
    ['Carbon dioxide', part.carbonDioxideMgPerL ? withLimit(part.carbonDioxideMgPerL, 'mg/L') : 'Not known.'],
    ['Salt', valueWords(part.saltGPerKg, 'g/L')],
    ['Taken for this', [`Worked out at ${clockWords(Date.parse(part.at))}.`,
      `Water at ${amount('temperature', part.temperatureC)}${part.assumptions.some((words) => words.includes('emperature')) ? '' : ', as its probe read it last'}.`,
      ...part.assumptions].join(' ')],
  ];
}

/** Where the figure is from that a dose or a change of water begins at. */
export function startWords(part, of) {
  const [value, unit] = {
    'ammonia': [part?.tanMgPerL, 'mg/L as nitrogen'],
    'carbon-dioxide': [part?.carbonDioxideMgPerL, 'mg/L'],
    'salt': [part?.saltGPerKg, 'g/L'],
  }[of];
  return value ? [`Now: ${valueWords(value, unit)} The rest is worked out from that and from what you typed.`] : [];
}

/** The figures alone, for a glance. */
export function holdingLine(part) {
  const { daysHeld, densityKgPerM3, tanMgPerL, ammoniaMgPerL, carbonDioxideMgPerL, saltGPerKg } = part;
  return [
    daysHeld === undefined ? '' : `${daysHeld.toFixed(1)} days`,
    densityWords(densityKgPerM3),
    tanMgPerL ? `ammonia ${figure(tanMgPerL.likely)} mg/L${ammoniaMgPerL ? `, of it poisonous ${figure(ammoniaMgPerL.likely)}` : ''}` : '',
    carbonDioxideMgPerL ? `carbon dioxide ${figure(carbonDioxideMgPerL.likely)} mg/L` : '',
    `salt ${saltGPerKg.likely.toFixed(1)} g/L`,
  ].filter(Boolean).join(' · ');
}

/** A withdrawal period that has not ended. */
export const withdrawalWords = ({ what, given, givenAt, until, words }) =>
  `${what}, given ${givenAt ? `at ${givenAt} ` : ''}${dayAndClockWords(Date.parse(given))}: withdrawal period ${until ? `to ${dateWords(until)}` : 'without a last day noted'}, as the vet said${words ? ` (“${words}”)` : ''}. Before these fish go, ask the vet.`;

/** How much salt. */
export function doseWords({ kg, litres, nowGPerL, targetGPerL, use, probes, mind }) {
  if (kg <= 0) {
    return ['There is as much salt in it already, or more. Fresh water takes it down.'];
  }
  return [`${amount('mass', kg, 2)} of salt takes ${amount('volume', litres, 0)} from ${figure(nowGPerL)} to ${figure(targetGPerL)} g/L.`,
    ...(use ? [`Used for ${use}.`] : []), probes, mind];
}

const NAMES = { 'ammonia': 'all ammonia', 'carbon-dioxide': 'carbon dioxide', 'salt': 'salt' };

/** How much water to change. */
export function changeWords({ of, now, target, litres, share, saltToReplaceKg }) {
  const from = `${NAMES[of]} from ${figure(now)} to ${figure(target)} ${of === 'salt' ? 'g/L' : 'mg/L'}`;
  if (litres === undefined) {
    return [`No amount of that water takes ${from}.`];
  }
  if (litres === 0) {
    return [`It is there already: ${NAMES[of]} ${figure(now)}.`];
  }
  return [`Let out ${amount('volume', litres, 0)} (${(100 * share).toFixed(0)} % of the tank) and fill up: that takes ${from}. If the old runs out while the new comes in, it takes more.`,
    ...(saltToReplaceKg > 0.005 ? [`With it goes the salt: ${amount('mass', saltToReplaceKg, 2)} to put back.`] : []),
    'Water of about the same temperature, let in slowly, with gas on.'];
}

/** How to fill up what has gone. */
export function topUpWords({ litres, lost, nowGPerL, afterGPerL, targetGPerL, saltKg, changeLitres }) {
  const went = lost === 'evaporated' ? 'What evaporated left its salt behind' : 'What ran out took its salt along';
  const salt = nowGPerL < 0.05 && targetGPerL < 0.05 ? 'There is no salt in it that counts.'
    : `${went}: ${figure(nowGPerL)} g/L as it stands, ${figure(afterGPerL)} g/L once it is full.`;
  const more = saltKg > 0.005 ? [`For ${figure(targetGPerL)} g/L put in ${amount('mass', saltKg, 2)} of salt with it, dissolved first.`]
    : changeLitres > 0 ? [`That is more than ${figure(targetGPerL)} g/L: once it is full let out ${amount('volume', changeLitres, 0)} and fill up again.`] : [];
  return [`Fill up ${amount('volume', litres, 0)}.`, salt, ...more,
    'Water of about the same temperature, let in slowly. Then write it down under Top-up, and test the salt with the tank full.'];
}
