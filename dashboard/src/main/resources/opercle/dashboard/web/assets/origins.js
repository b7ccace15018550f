// SPDX-License-Identifier: Apache-2.0
// Where a tank's figures come from: which reading, or which estimate from which readings, and from
// when. In sentences; pure.

import { inHand } from './state.js';
import { amount } from './units.js';
import { clockWords, secondsWords } from './words.js';

const at = (time) => secondsWords(Date.parse(time));

/** Which reading it is, in a sentence; empty where that was not told. */
export const heardWords = (what, heard) =>
  (heard === undefined ? '' : `${what}: probe ${heard.probe}, read at ${at(heard.time)}.`);

/** What the time in hand is worked out from, and when. */
export function handOrigin(tank) {
  const { state } = tank;
  if (state.time === undefined) {
    return '';
  }
  const { hand } = inHand(tank);
  const when = `Time in hand: worked out at ${at(state.time)}`;
  if (hand?.is === 'minutes') {
    const cylinder = tank.supply.cylinder ? ', or from when the cylinder will be empty, if that comes sooner' : '';
    return `${when} from ${oxygenUsed(state)}${fall(state)} and ${breathing(state)}, down to the critical floor of ${floor(tank)}${cylinder}. An estimate, no promise.`;
  }
  return hand?.is === 'holding'
    ? `${when} from ${oxygenUsed(state)}, which is not running out.`
    : `Time in hand: not known at ${at(state.time)}: ${hand?.why ?? 'nothing to go by'}.`;
}

/** The same of what would be, were the gas to stop; empty where it has, or nothing is known. */
function ifStopsOrigin(tank) {
  const { ifStops } = inHand(tank);
  return ifStops?.is === 'minutes'
    ? `If gas stops: from the same oxygen, ${breathing(tank.state)} and ${amount('volume', tank.waterLitres, 2)} of water, down to the critical floor. An estimate too.`
    : '';
}

/** All of it, a sentence each. */
export const origins = (tank) => {
  const from = tank.state.origins ?? {};
  return [
    handOrigin(tank), ifStopsOrigin(tank), heardWords('Oxygen', from.oxygen),
    from.oxygen && from.temperature ? 'Percent and the course of oxygen: the same probe, with the water’s temperature.' : '',
    heardWords('Water', from.temperature), heardWords('Gas', from.gasFlow),
  ].filter((sentence) => sentence !== '');
};

const oxygenUsed = ({ origins: from }) =>
  (from?.oxygen ? `the oxygen of probe ${from.oxygen.probe} at ${at(from.oxygen.time)}` : 'the newest oxygen');

const fall = ({ origins: from }) =>
  (from?.fallingSince ? `, its fall since ${clockWords(Date.parse(from.fallingSince))}` : '');

/** What these fish are taken to breathe, and who says so. */
const breathing = ({ origins: from }) =>
  `what these fish breathe (${from?.demandMeasured ? 'measured here while the gas was off' : 'by the books for this load'})`;

const floor = (tank) => `${tank.floors.criticalMgPerL.toFixed(1)} mg/L`;
