// SPDX-License-Identifier: Apache-2.0
// Whoever drives is called in one sentence, and somebody beside them is called too.

import { ask, tell } from './feed.js';
import { knownName } from './name.js';

/** Says that whoever holds this device drives, or no longer does, if they are one of those called. */
export async function tellDriving(driving) {
  try {
    const { people } = await ask('/api/v1/evening');
    const name = people.find((person) => person.toLowerCase() === knownName().toLowerCase());
    if (name) {
      await tell('PUT', `/api/v1/people/${encodeURIComponent(name)}/driving`, { driving });
    }
  } catch {
    // no network on the road: they are called as if they did not drive
  }
}
