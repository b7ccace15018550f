// SPDX-License-Identifier: Apache-2.0
// Does what somebody asks for while setting up: under their name, said when it is done, and when not.

import { say, show } from './dom.js';
import { tell } from './feed.js';
import { whoIsIt } from './name.js';

/**
 * @param places `said` and `trouble`, where it is told
 * @param look reads anew what there is by now
 * @return `act(does, said)` and `failed(words)`
 */
export function actor({ said, trouble }, look) {
  /**
   * False if they turned back at their name.
   *
   * @param does by whom: what to send, as method, path and body
   * @throws what the server refuses, said already at the top where it is about no field
   */
  async function act(does, words) {
    const by = await whoIsIt();
    if (!by) {
      return false;
    }
    show(trouble, false);
    try {
      const { method, path, body } = does(by);
      await tell(method, path, body);
      say(said, words);
      await look();
      return true;
    } catch (error) {
      say(said, '');
      if (!error.errors) {
        failed(error.status >= 400 && error.status < 500
          ? `Not done. ${error.message}`
          : `It is not certain that this was done. Look before you send it again. ${error.message}`);
      }
      if (error.status === 409) {
        await look(); // what somebody else has changed is to be seen
      }
      throw error;
    }
  }

  function failed(words) {
    say(trouble, words);
    show(trouble, true);
  }
  return { act, failed };
}

/** Reads what there is now; asked while it reads, it reads once more: what was done just now must be seen. */
export function looker(read, failed) {
  let asking = false;
  let again = false;
  return async function look() {
    if (asking) {
      again = true;
      return;
    }
    asking = true;
    try {
      do {
        again = false;
        await read();
      } while (again);
    } catch (error) {
      failed(error); // the page says by itself when the server is lost
    } finally {
      asking = false;
    }
  };
}
