// SPDX-License-Identifier: Apache-2.0
// Where the figures of a plan are from: what was asked, when it was worked out, and which estimate
// each is. In sentences; pure.

import { secondsWords } from './words.js';

/** Each large figure, and each course on the way, with the reason that holds it against a limit. */
const ESTIMATES = {
  'If gas stops': { topic: 'time-in-hand',
    how: 'the oxygen in the water by then, less what the fish breathe, down to the critical floor; no gas, and parked' },
  'Gas': { topic: 'gas-flow', how: 'what the fish breathe, by what this diffuser gives to the water at this depth' },
  'Cylinder': { topic: 'cylinder', how: 'the gas in it above what is to be left, by the gas needed' },
  'Largest load': { how: 'this plan with more fish or fewer, up to where a line under Why would change the verdict' },
  'Oxygen': { topic: 'oxygen', how: 'what the gas gives and the fish breathe, minute by minute' },
  'Ammonia': { topic: 'ammonia', how: 'what such fish give off in this time, added up' },
  'Carbon dioxide': { topic: 'carbon-dioxide', how: 'what the fish breathe out with the oxygen that they use, less what leaves with the gas' },
};

/** Of one figure by its name above, in a sentence or two. */
export function estimateWords(plan, name) {
  const { topic, how } = ESTIMATES[name];
  const reason = plan.reasons.find((r) => r.topic === topic);
  return `${name}: an estimate from ${how}.${reason ? ` Judged by: ${reason.source} (${reason.confidence}).` : ''}`;
}

/**
 * All of it, a sentence each.
 *
 * @param at when the server worked it out, ms
 * @param filled where the form was filled in from, in a sentence; empty where it was not
 */
export const planOrigins = (plan, at, filled) => [
  `All of it was worked out at ${secondsWords(at)} from what stands in the form. None of it was measured.`,
  filled,
  ...Object.keys(ESTIMATES).map((name) => estimateWords(plan, name)),
  ...plan.notes,
].filter((sentence) => sentence !== '');

/** Of a form that was filled in from a tank. */
export function filledFrom(tank) {
  const read = tank.state.origins?.temperature;
  const water = read && tank.state.temperatureC !== undefined
    ? ` Water at loading: probe ${read.probe}, read at ${secondsWords(Date.parse(read.time))}.` : '';
  return `Filled in from ${tank.name}: its fish, water and gas as they stand under Tanks and probes.${water} What you type instead counts.`;
}
