// SPDX-License-Identifier: Apache-2.0
// Load, supply and floors of a tank, in sentences. Pure.

import { origins } from './origins.js';
import { amount } from './units.js';
import { dayAndClockWords, supplyCaution } from './words.js';

const DIFFUSERS = {
  'ceramic': 'a ceramic diffuser',
  'porous-hose': 'porous hose',
  'perforated-pipe': 'a perforated pipe',
  'air-stone': 'an air stone',
};
const tidy = (value) => String(+value.toFixed(2));

/** Pairs of heading and sentence. */
export function facts(tank) {
  const demand = tank.state.demandMgPerKgPerHour;
  return [
    ['Fish', tank.loads.length === 0 ? 'None.' : tank.loads.map(fish).join(' ')],
    ...(demand === undefined ? [] : [['Breathing', `About ${demand.toFixed(0)} mg of oxygen an hour for each kg${learned(tank.state.origins)}.`]]),
    ['Water', `${amount('volume', tank.waterLitres, 2)}, ${tidy(tank.depthM)} m over the diffuser.`],
    ['Gas', supply(tank.supply)],
    ['Floors', `Act below ${tank.floors.keepMgPerL.toFixed(1)} mg/L. Below ${tank.floors.criticalMgPerL.toFixed(1)} mg/L the fish are being harmed.`],
    ['Take care', supplyCaution(tank.supply)],
    ...(tank.state.time === undefined ? [] : [['Where from', origins(tank).join(' ')]]),
  ];
}

const learned = (origins) =>
  ({ true: ', as measured here while the gas was off', false: ', by the books for this load' }[origins?.demandMeasured] ?? '');

function fish(load) {
  const each = load.count ? `, ${load.count} fish of about ${amount('mass', load.kg / load.count, 2)}` : '';
  const since = load.since ? `, in since ${dayAndClockWords(Date.parse(load.since))}` : '';
  return `${amount('mass', load.kg, 2)} of ${load.name}${each}${since}.`;
}

function supply({ gas, source, diffuser, flowLPerMin, cylinder, sharedSource, pausesMinutes }) {
  const bottle = cylinder ? ` (${tidy(cylinder.waterLitres)} L, ${tidy(cylinder.fullBar)} bar when full)` : '';
  const what = gas === 'air' ? 'Air' : 'Oxygen';
  return `${what} from a ${source}${bottle} through ${DIFFUSERS[diffuser] ?? diffuser}, set to ${tidy(flowLPerMin)} L/min at 15 °C.${sharedSource ? ` Shared: ${sharedSource}.` : ''}${pausesMinutes ? ` Off by a timer for at most ${tidy(pausesMinutes)} min at a time.` : ''}`;
}
