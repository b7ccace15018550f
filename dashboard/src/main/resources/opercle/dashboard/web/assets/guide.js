// SPDX-License-Identifier: Apache-2.0
// What to do about each kind of alarm, as the server has it; asked for once.

import { ask } from './feed.js';

let guide = {};

/** Asks for the guide; without it, messages stand as they are. */
export async function learn() {
  try {
    guide = await ask('/api/v1/alarms/guide');
  } catch {
    // the messages say the first action by themselves
  }
}

/**
 * What the guide says of a standing alarm; undefined while it is not known.
 *
 * The message ends with the first action that fits: the finding is what stands before it.
 */
export function adviceFor(alarm, known = guide) {
  const entry = known[alarm.cause];
  const toDo = entry?.actions.find((action) => alarm.message.endsWith(action));
  return toDo === undefined ? undefined : {
    finding: alarm.message.slice(0, -toDo.length).trim(),
    toDo,
    toBeSure: entry.toBeSure,
    ifIgnored: entry.ifIgnored,
  };
}
