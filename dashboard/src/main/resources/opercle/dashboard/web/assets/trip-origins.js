// SPDX-License-Identifier: Apache-2.0
// Where the figures of a trip are from: readings of its probes, what somebody wrote down, or which
// estimate. In sentences; pure.

import { dayAndClockWords, dayOfYearWords, secondsWords } from './words.js';

const at = (time) => secondsWords(Date.parse(time));
const written = (entries, kind) => {
  const entry = entries.findLast((e) => e.kind === kind);
  return entry && `${entry.by} at ${at(entry.time)} on ${dayOfYearWords(Date.parse(entry.time))}${entry.corrects ? ', put right since' : ''}`;
};

/** Sentences under a heading of the report; none where nothing in it is a figure of ours. */
export function sectionOrigins(heading, { entries, loaded, until, tankName }) {
  const readings = `the readings of ${tankName} from ${dayAndClockWords(Date.parse(loaded))} to ${at(until)}`;
  switch (heading.replace(/^(When oxygen began to fall),.*/, '$1')) {
    case 'The trip': return [
      `Load, water and vehicle: written down by ${written(entries, 'loaded')}; what they did not say, from Tanks and probes as it stood then.`,
      'Limits: by the books for this load, or as they were set for the tank when it was loaded.',
      'Plan: the load plan, worked out at loading. An estimate.',
      ...(written(entries, 'unloaded') ? [`Losses: written down by ${written(entries, 'unloaded')}.`] : [])];
    case 'Oxygen': return [
      `Lowest, highest and how long below: from ${readings}, each oxygen reading counted until the next one, for three usual intervals at most. What is longer is not known.`,
      'Percent of saturation: the same oxygen reading with the water’s temperature then.'];
    case 'When oxygen began to fall': return [
      `An estimate from ${readings}: the moment from which oxygen fell by another straight line than before, and how steep that is. The gas meter: its own readings.`,
      'When the watch told of it: the alarms that are kept of this time.'];
    case 'What the fish breathed': return [
      `Measured: an estimate from ${readings}, where the oxygen fell with the gas off, or with less gas, or stood with the gas steady; per kg of the load that was written down.`,
      'Planned: by the books or by this farm’s earlier trips, at loading. Earlier trips: the average of what they measured, and between what it likely is.'];
    case 'Gas': return [
      `Used: by the meter, its readings added up; by the gauge, the pressure that was written down at loading and at the end.`,
      'Planned: the load plan. Cylinder: written down, unless it says reckoned.'];
    case 'Checks at the stops': return [
      'Written down by the person who is named, at the time that is named, by eye and by hand meter. The probe beside it: its readings within two minutes.'];
    case 'What the watch saw': return ['The alarms that are kept of this time, each as it was told then.'];
    case 'Next time': return ['Worked out from the figures above.'];
    default: return [];
  }
}

/** Of trips side by side. */
export const comparedOrigins = () => [
  'Load and losses: as somebody wrote them down at loading and at unloading; each trip’s page names them.',
  'Lowest oxygen and time below the keep floor: from the readings of the tank between loading and unloading.',
  'Breathed: an estimate from the oxygen of that trip, and between what it likely is; water: as warm as it was then.',
  'Gas: by the meter’s readings added up, or else by the cylinder’s gauge at loading and at the end; at 15 °C.',
];
