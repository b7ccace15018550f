// SPDX-License-Identifier: Apache-2.0
// What the pages of trips share: ids, lengths of time, and figures that were typed.

import { inField, inside, typedNumber } from './units.js';

/** An id that no other form has. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return `t${[...bytes].map((b) => b.toString(16).padStart(2, '0')).join('')}`;
}

/** How fish are, worst last. */
export const FISH = [
  ['low-and-quiet', 'Low and quiet'],
  ['restless', 'Restless'],
  ['gasping', 'At the surface, gasping'],
  ['lying-over', 'Lying over'],
];

/** Minutes as people say them. */
export function spanWords(minutes) {
  if (minutes < 1.5) {
    const seconds = Math.round(minutes * 60);
    return seconds === 0 ? 'never' : `${seconds} s`;
  }
  const whole = Math.round(minutes);
  return whole < 120 ? `${whole} min` : `${Math.floor(whole / 60)} h${whole % 60 ? ` ${whole % 60} min` : ''}`;
}

const put = new WeakMap();

/** Puts a figure of the server into a field; as long as nobody touches it, it is read back to the last digit. */
export function putNumber(field, value, kind) {
  field.value = value === undefined ? '' : kind ? inField(kind, value) : String(value);
  put.set(field, { text: field.value, value });
}

/** The figure that was put into a field and stands there still; undefined where there is none. */
export const putIn = (field) => (put.get(field)?.text === field.value ? put.get(field).value : undefined);

/** What stands in a field as the server wants it; undefined where it is empty. */
export function readNumber(field, name, kind) {
  const text = field.value.trim();
  if (putIn(field) !== undefined) {
    return putIn(field);
  }
  if (text === '') {
    return undefined;
  }
  const value = typedNumber(text);
  field.setAttribute('aria-invalid', String(!Number.isFinite(value)));
  if (!Number.isFinite(value)) {
    throw new Error(`${name}: “${text}” is no number. Write it like 1200 or 1.2.`);
  }
  return kind ? inside(kind, value) : value;
}
