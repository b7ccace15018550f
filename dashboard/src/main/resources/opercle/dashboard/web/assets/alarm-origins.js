// SPDX-License-Identifier: Apache-2.0
// Where the figures about alarms, of the monitor and in the cab are from. In sentences; pure.

import { heardWords, handOrigin } from './origins.js';
import { clockWords, dayAndClockWords, secondsWords } from './words.js';

const at = (millis) => secondsWords(millis);
const day = (time) => dayAndClockWords(Date.parse(time));

/** Of an alarm that stands: when it was raised, and what it was last said from. */
export const standingOrigins = (tank, alarms) => [
  ...alarms.map(({ since, message }) => `Raised by the watch ${day(since)}. It says: ${message}`),
  ...(tank.state.time === undefined ? [] : [`Its words and figures: as the watch told them last, at ${at(Date.parse(tank.state.time))}.`]),
  handOrigin(tank),
  heardWords('Oxygen', tank.state.origins?.oxygen), heardWords('Gas', tank.state.origins?.gasFlow),
].filter((sentence) => sentence !== '');

/** Of an alarm of the past, whose figures are those of its message. */
export const pastOrigins = ({ since, whole, acknowledged, cleared, verdict }) => [
  whole ? `Its words and figures: as the watch told them when it was raised, ${day(since)}, from its readings and estimates of then.`
    : `Its words and figures: as the watch told them after it was raised, ${day(since)}; how it began is under Earlier.`,
  ...(acknowledged ? [`Had: the press of “I have it”, ${day(acknowledged.time)}.`] : []),
  ...(cleared ? [`Gone: when the watch saw it end, ${day(cleared)}.`] : []),
  ...(verdict ? [`What there was to do: as ${verdict.by} said ${day(verdict.time)}.`] : []),
  'Kept in the farm book. How long something took is the time between two of these.',
];

/** Of the figures of a week. */
export const figuresOrigins = ({ from, until, standing }) => [
  `Counted from the alarms, and the calls to people, that the farm book has from ${day(from)} to ${day(until)}; asked for when this page was opened.`,
  'Each figure is a count or a time between two of them; none is an estimate. Whether there was something to do is what people said under Alarms.',
  'What it should be, and the limit: from the standard or the rule that is named beside it under Says.',
  ...(standing?.length > 0 ? ['An alarm that still stands counts up to now.'] : []),
];

/** Of the monitor, as it answered. */
export const monitorOrigins = (answeredAt, { intake, disk, store, broker }) => [
  `Answered by Opercle itself at ${at(answeredAt)} by the farm’s clock; asked anew every 5 s.`,
  ...(intake ? ['Readings: counted as they came in since it was started; a minute’s number is of the last minute. Looked at after: how old the oldest reading is that was not looked at yet.'] : []),
  'Could not be used: counted since the start. Why is on the page “What was not taken”.',
  ...(broker || store ? ['The hub, and whether readings are written down: what happened when Opercle used them last.'] : []),
  ...(disk ? ['Room on the disk: as the machine tells it.'] : []),
  'Heard last from each tank: the time of its newest reading of any probe, against the farm’s clock.',
];

/** Of what is spoken in the cab. */
export const cabOrigins = (tanks, now) => [
  `What is said: as the watch told it last; this page showed it at ${clockWords(now)}.`,
  ...tanks.flatMap((tank) => [handOrigin(tank), heardWords('Oxygen', tank.state.origins?.oxygen)]
    .filter((sentence) => sentence !== '').map((sentence) => `${tank.name}. ${sentence}`)),
];
