// SPDX-License-Identifier: Apache-2.0
// What the watch believes of a tank's probes and gas, and by what, also while no alarm stands. In
// sentences; pure.

import { dayAndClockWords, flowWords, oxygenWords, secondsWords } from './words.js';

const at = (time) => secondsWords(Date.parse(time));
const since = (time) => dayAndClockWords(Date.parse(time));
const some = (words, ...more) => [words, ...more].filter(Boolean).join(' ');

/** Pairs of heading and sentences; none where the watch has said nothing yet. */
export function beliefs(tank) {
  const { state } = tank;
  if (state.belief === undefined) {
    return [];
  }
  return [
    ['Oxygen probe', probes(state.belief)],
    ['Gas', some(supply(tank), ...state.belief.meters.map(meter), oxygenShows(tank))],
    ['As of', `${at(state.time)}. “Usual” is what the watch has learned of each meter, beginning with what is set for the tank.`],
  ];
}

function probes({ oxygenProbe, probes: all }) {
  if (all.length > 0) {
    return all.map(probe).join(' ');
  }
  return {
    trusted: 'Trusted: nothing speaks against it.',
    doubted: 'Doubted: it behaves as a probe in water does not.',
    none: 'None is heard: nothing watches the oxygen here.',
  }[oxygenProbe] ?? 'Whether it can be trusted is not known: the watch has not said.';
}

function probe({ probe: name, trust, why, time, doubtedAt }) {
  if (trust === 'none') {
    return `Probe ${name}: silent, last read ${since(time)}${why ? `; it ${why} then` : ''}.`;
  }
  if (trust === 'doubted') {
    return `Probe ${name}: doubted${doubtedAt ? ` since ${since(doubtedAt)}` : ''}, because it ${why}. Read at ${at(time)}.`;
  }
  if (trust === 'unknown') {
    return `Probe ${name}: not known whether it can be trusted, the watch has not said. Read at ${at(time)}.`;
  }
  return `Probe ${name}: trusted. Nothing speaks against it${doubtedAt ? ` now; something did until about ${since(doubtedAt)}` : ''}. Read at ${at(time)}.`;
}

/** The oxygen as a witness: fish breathe all the time, so that where it holds gas must reach the water. */
const holdsByGas = ({ state, loads }) => loads.length > 0 && state.belief.oxygenProbe === 'trusted' && state.timeInHand?.is === 'holding';

function supply(tank) {
  const { belief } = tank.state;
  switch (belief.supply) {
    case 'normal': return belief.meters.some(({ says }) => says === 'stopped' || says === 'low')
      ? 'As it should be: off by its timer for a while, as set.' : 'As it should be.';
    case 'low': return 'Less than it should be.';
    case 'stopped': return 'None, or nearly none.';
    case 'not-measured': return holdsByGas(tank) ? 'As it should be, as far as the oxygen shows: no meter tells.'
      : 'Not known: no meter tells, and the oxygen does not show it.';
    default: return 'Not known: the watch has not said.';
  }
}

function meter({ measures, probe: name, value, usual, says, time, since: began }) {
  const [what, of] = measures === 'flow' ? [`Flow meter ${name}`, flowWords] : [`Line pressure, gauge ${name}`, (bar) => `${bar.toFixed(2)} bar`];
  if (says === 'not-measured') {
    return `${what}: silent, last read ${since(time)}.`;
  }
  return `${what}: ${of(value)}${usual > 0 ? `, usual ${of(usual)}` : ', what is usual is not known yet'}${began ? `, none since ${since(began)}` : ''}${says === 'unknown' && usual > 0 ? '; it repeats one value, so it says nothing' : ''}. Read at ${at(time)}.`;
}

function oxygenShows(tank) {
  const { state } = tank;
  const read = state.origins?.oxygen ? ` at ${at(state.origins.oxygen.time)}` : '';
  if (state.oxygenMgPerL === undefined) {
    return 'Oxygen: not measured now.';
  }
  const now = `${oxygenWords(state.oxygenMgPerL)}${read}`;
  if (state.origins?.fallingSince) {
    return `Oxygen: ${now}, falling since ${since(state.origins.fallingSince)}.`;
  }
  return {
    holding: `Oxygen: ${now} and not running out${holdsByGas(tank) ? '; fish breathe all the time, so gas must be reaching the water' : ''}.`,
    minutes: `Oxygen: ${now} and running down.`,
  }[state.timeInHand?.is] ?? `Oxygen: ${now}; where it goes is not known${state.timeInHand?.why ? `: ${state.timeInHand.why}` : ''}.`;
}
