// SPDX-License-Identifier: Apache-2.0
// Where the figures of the evening check are from. In sentences; pure.

import { origins } from './origins.js';
import { dayAndClockWords, secondsWords } from './words.js';

const SET = 'under Tanks and probes';

/**
 * Of one tank, a sentence each.
 *
 * @param tank as the watch told of it when it was checked; undefined where it told nothing
 */
export const tankOrigins = (tank, { time, morning }) => [
  `Checked at ${secondsWords(Date.parse(time))}, from what the watch told then.`,
  ...(tank === undefined ? [] : origins(tank)),
  `In hand at the least: the lower end of what is likely if the gas stops. Held against what you need: your own minutes as set for this tank ${SET}, and how long it takes until the loss is noticed, an estimate: seconds and the way to you by a gas meter; by the oxygen alone as long as on simulated nights.`,
  `The next look, ${dayAndClockWords(Date.parse(morning))}: as set for the farm.`,
  ...(tank?.supply.cylinder ? [`How long the cylinder lasts: an estimate from its pressure and the gas that flows, down to its reserve; both are set ${SET} where no probe reads them.`] : []),
  `Floors, and the most that the water may have: by the books for this load${tank === undefined ? '' : `, or as set ${SET}`}.`,
];

/** Of what is not about a tank. */
export const farmOrigins = ({ time }) => [
  `Checked at ${secondsWords(Date.parse(time))}. Who is called, when and by what: as set ${SET}. When a way was last tested: when its server took the test.`,
];
