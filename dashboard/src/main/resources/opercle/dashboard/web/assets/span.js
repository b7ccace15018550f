// SPDX-License-Identifier: Apache-2.0
// Which stretch of time the traces show. Pure. Seconds since 1970; `following` means that the end
// goes along with the farm's time.

const SHORTEST = 120;
const LONGEST = 31 * 86_400;

export const lastHours = (hours, now) => ({ from: now - hours * 3600, to: now, following: true });

/** Around a place between 0 (start) and 1 (end); a factor under 1 looks closer. */
export function zoomed(span, factor, place, now) {
  const length = span.to - span.from;
  const wanted = Math.min(LONGEST, Math.max(SHORTEST, length * factor));
  const from = span.from + (length - wanted) * place;
  return within({ from, to: from + wanted }, now);
}

/** Moved by a part of its own length; negative is earlier. */
export function moved(span, part, now) {
  const by = (span.to - span.from) * part;
  return within({ from: span.from + by, to: span.to + by }, now);
}

/** From one instant to another, in either order. */
export function between(a, b, now) {
  const [from, to] = [Math.min(a, b), Math.max(a, b)];
  const missing = Math.max(0, SHORTEST - (to - from)) / 2;
  return within({ from: from - missing, to: to + missing }, now);
}

/** The same length, ending now, if it follows. */
export const followed = (span, now) =>
  span.following ? { ...span, from: now - (span.to - span.from), to: now } : span;

function within({ from, to }, now) {
  const beyond = Math.max(0, to - now);
  return { from: from - beyond, to: to - beyond, following: to >= now - 1 };
}
