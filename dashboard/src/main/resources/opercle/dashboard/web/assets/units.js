// SPDX-License-Identifier: Apache-2.0
// Units as the keeper likes them: at the screen's edge only, both ways. The server and everything
// behind this file knows kg, L and °C.

import { recall, remember } from './device.js';

// Exact by definition: the pound by the agreement of 1959, the stone as 14 of it and the gallon of
// the United Kingdom by its Units of Measurement Regulations 1995; the gallon of the United States
// as 231 cubic inches (NIST Handbook 44, appendix C).
/**
 * What somebody typed as a number, with a point or a comma; NaN where it is none, or where nobody
 * can tell: "1,200" is twelve hundred to one and one and a fifth to another.
 */
export const typedNumber = (typed) =>
  (/,\d{3}(?!\d)/.test(typed) ? NaN : Number(typed.replace(',', '.')));

export const KG_PER_POUND = 0.45359237;
export const POUNDS_PER_STONE = 14;
export const LITRES_PER_UK_GALLON = 4.54609;
export const LITRES_PER_US_GALLON = 3.785411784;

const linear = (size, offset = 0) => ({
  shown: (inside) => inside / size + offset,
  inside: (shown) => (shown - offset) * size,
  size,
});

/** Each kind of figure with its units; the first is the one that the server speaks. */
export const KINDS = {
  mass: {
    title: 'Weight',
    units: {
      kg: linear(1), lb: linear(KG_PER_POUND), stone: linear(KG_PER_POUND * POUNDS_PER_STONE),
    },
  },
  volume: {
    title: 'Water',
    units: {
      'L': linear(1), 'gal (UK)': linear(LITRES_PER_UK_GALLON), 'gal (US)': linear(LITRES_PER_US_GALLON),
    },
  },
  temperature: { title: 'Temperature', units: { '°C': linear(1), '°F': linear(5 / 9, 32) } },
};

/** The unit that this device shows a kind of figure in. */
export function unitOf(kind) {
  const { units } = KINDS[kind];
  const chosen = recall(`unit-${kind}`);
  return Object.hasOwn(units, chosen) ? chosen : Object.keys(units)[0];
}

/** Keeps the choice on this device. */
export const choose = (kind, unit) => remember(`unit-${kind}`, unit);

const scale = (kind) => KINDS[kind].units[unitOf(kind)];

/** A figure of the server as this device shows it. */
export const shown = (kind, inside) => scale(kind).shown(inside);

/** What was typed, as the server wants it. */
export const inside = (kind, typed) => scale(kind).inside(typed);

/** A difference of two such figures, for instance by how much water warms. */
export const insideDifference = (kind, typed) => typed * scale(kind).size;

/** The same the other way. */
export const shownDifference = (kind, difference) => difference / scale(kind).size;

/** How many decimals a keeper writes of a figure so large: 309, 22.5, 4.54, 0.125. */
const decimalsOf = (value) => {
  const size = Math.abs(value);
  return size >= 99.95 ? 0 : size >= 9.995 ? 1 : size >= 0.9995 ? 2 : 3;
};

/** A figure with no more digits than anybody writes or can know. */
export const sensible = (value) => (Math.abs(value) < 1 ? +value.toPrecision(2) : +value.toFixed(decimalsOf(value)));

/** Whether this device shows figures of a kind as the server has them. */
const isServers = (kind) => Object.keys(KINDS[kind].units)[0] === unitOf(kind);

/** A figure of the server as it stands in a field: what was typed there in another unit leaves no tail of digits. */
export function inField(kind, value) {
  const own = shown(kind, value);
  return String(+own.toFixed(decimalsOf(own) + (isServers(kind) ? 1 : 0)));
}

/** A figure with its unit, to at most so many decimals. */
export function amount(kind, value, decimals = 1) {
  const own = shown(kind, value);
  const most = isServers(kind) ? decimals : Math.min(decimals, decimalsOf(own));
  return `${+own.toFixed(most)} ${unitOf(kind)}`;
}

/**
 * What a field may hold, as the server writes it, in this device's unit: rounded inwards, so that
 * whoever types what it says is not refused again.
 *
 * @param limit such as "0–35" or "at most 66"
 * @param unit the server's, with what may follow it: "°C at the end"
 * @param isDifference by how much, not how much
 */
export function limitWords(kind, limit, unit, isDifference = false) {
  const convert = isDifference ? shownDifference : shown;
  const count = limit.match(/-?\d+(?:\.\d+)?/g)?.length ?? 0;
  const isUpwards = (at) => at < count - 1 || /^at least/.test(limit);
  let at = 0;
  const figures = isServers(kind) ? limit
    : limit.replace(/-?\d+(?:\.\d+)?/g, (digits) => {
      const own = convert(kind, Number(digits));
      const step = own === 0 ? 1 : 10 ** Math.max(-4, Math.floor(Math.log10(Math.abs(own))) - 2); // three figures
      const steps = +(own / step).toFixed(6); // 95 °F is not 94.99…
      return String(+((isUpwards(at++) ? Math.ceil(steps) : Math.floor(steps)) * step).toPrecision(3));
    });
  return `${figures} ${unit.replace(/^(kg|L|°C)/, unitOf(kind))}`.trim();
}

/** How much fish there is in so much water. */
export function densityWords(kgPerM3) {
  const [mass, volume] = [unitOf('mass'), unitOf('volume')];
  if (mass === 'kg' && volume === 'L') {
    return `${kgPerM3.toFixed(0)} kg/m³`;
  }
  const much = volume === 'L' ? 1000 : 100;
  const value = shown('mass', kgPerM3) * much / shown('volume', 1000);
  return `${+value.toPrecision(3)} ${mass} in ${much} ${volume}`;
}

// A weight, a temperature or an amount of water as the server's sentences write them: "140 kg",
// "5–8 °C", "650 L". What stands per kilogram or goes by the hour in a compound unit (mg/kg/h,
// kg/L) is not one, and gas is litres everywhere: "600 L of gas", "gas 90 L",
// "2 × 20 L at 200 bar".
const WRITTEN = /(?<!gas )(?<![\d.,])(\bby (?:more than )?)?(-?\d+(?:\.\d+)?)(?:(–| to )(-?\d+(?:\.\d+)?))? (kg|°C|L)(?![/\w]| of (?:gas|air|oxygen)| at \d+ bar| at 15 °C)( an hour)?/g;
const WRITTEN_KIND = { 'kg': 'mass', '°C': 'temperature', 'L': 'volume' };

/** A sentence of the server with its weights, temperatures and amounts of water as this device shows them. */
export const inOwnUnits = (sentence) =>
  sentence?.replace(WRITTEN, (whole, by = '', first, dash, last, written, hourly = '') => {
    const kind = WRITTEN_KIND[written];
    const unit = unitOf(kind);
    if (unit === written) {
      return whole;
    }
    const convert = by || hourly ? shownDifference : shown;
    const figure = (digits) => {
      const value = convert(kind, Number(digits));
      const isSmall = kind !== 'temperature' && Math.abs(value) < 9.95; // 1 kg of feed is 2.2 lb, not 2
      const decimals = Math.min(Math.max(digits.split('.')[1]?.length ?? 0, unit === 'stone' || isSmall ? 1 : 0), decimalsOf(value));
      return value !== 0 && Math.abs(value) < 1 ? String(+value.toPrecision(2)) : value.toFixed(decimals);
    };
    const other = last === undefined ? '' : `${dash}${figure(last)}`;
    return `${by}${figure(first)}${other} ${unit}${hourly}`;
  });
