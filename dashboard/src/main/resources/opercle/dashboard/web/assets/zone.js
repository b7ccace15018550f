// SPDX-License-Identifier: Apache-2.0
// Clocks of time zones: how far they are ahead, and when they show a time twice. Pure.

const DAY = 86_400_000;
const setBack = new Map(); // by zone and day: nearly every time is of a day that has no change

/** How far a zone's clock is ahead of UTC at an instant, ms; of the device's zone without one. */
export function aheadAt(millis, zone) {
  const parts = Object.fromEntries(new Intl.DateTimeFormat('en-GB', {
    timeZone: zone, hourCycle: 'h23', year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', second: '2-digit',
  }).formatToParts(millis).map(({ type, value }) => [type, value]));
  return Date.UTC(parts.year, parts.month - 1, parts.day, parts.hour, parts.minute, parts.second) - Math.floor(millis / 1000) * 1000;
}

/** Whether the clock shows this time once more, an hour before or after: the night it is put back. */
export function isTwice(millis, zone) {
  if (!Number.isFinite(millis)) {
    return false;
  }
  const day = Math.floor(millis / DAY);
  const key = `${zone} ${day}`;
  if (!setBack.has(key)) {
    setBack.set(key, aheadAt((day - 1) * DAY, zone) - aheadAt((day + 2) * DAY, zone));
  }
  const back = setBack.get(key);
  const wall = (instant) => instant + aheadAt(instant, zone);
  return back > 0 && [millis - back, millis + back].some((other) => wall(other) === wall(millis));
}
