// SPDX-License-Identifier: Apache-2.0
// What probes measure, in words. Pure.

import { amount } from './units.js';

const WORDS = {
  'oxygen': 'Oxygen',
  'oxygen-saturation': 'Oxygen saturation',
  'temperature': 'Water temperature',
  'gas-flow': 'Gas flow',
  'line-pressure': 'Pressure in the gas line',
  'cylinder-pressure': 'Pressure of the cylinder',
  'air-pressure': 'Pressure of the air',
  'ph': 'pH',
  'salinity': 'Salinity',
  'water-level': 'Water in the tank',
};
const UNITS = { 'gas-flow': 'L/min at 15 °C', 'ph': '' };

/** What a topic or a key in a message may mean by its name. */
const HINTS = [
  ['oxygen-saturation', /sat|percent|%/i],
  ['temperature', /temp|deg|celsius|(^|[/_.-])t($|[/_.-])/i],
  ['gas-flow', /flow|lpm|gas/i],
  ['ph', /(^|[/_.-])ph($|[/_.-])/i],
  ['salinity', /sal|cond/i],
  ['cylinder-pressure', /cyl|bottle/i],
  ['line-pressure', /line|press|bar/i],
  ['water-level', /level|volume|litre/i],
  ['oxygen', /oxy|o2|(^|[/_.-])do($|[/_.-])/i],
];

export const quantityWords = (id) => WORDS[id] ?? id;

/** The unit that a value of a quantity is taken in. */
export const quantityUnit = ({ id, unit }) => UNITS[id] ?? unit;

/** What a probe read, in this device's unit; what has not been assigned yet stays in the probe's own. */
export const probeFigure = ({ quantity, unit, value }) => (quantity === 'temperature' ? amount('temperature', value, 2)
  : `${+value.toFixed(2)} ${quantityUnit({ id: quantity, unit })}`.trim());

/** The quantities that a value could be: the likeliest first, those it cannot be left out. */
export function likely(quantities, topic, pointer, value) {
  const hint = HINTS.find(([, pattern]) => pattern.test(pointer))
    ?? HINTS.find(([, pattern]) => pattern.test(topic));
  const could = quantities.filter(({ lowest, highest }) => value >= lowest && value <= highest);
  return [...could.filter(({ id }) => id === hint?.[0]), ...could.filter(({ id }) => id !== hint?.[0])];
}
