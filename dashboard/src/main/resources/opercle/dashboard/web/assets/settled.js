// SPDX-License-Identifier: Apache-2.0
// The order in which tanks stand. It follows what is urgent, but nothing moves under a hand.

import { isOutOfOrder, worstFirst } from './state.js';

const SORT_EVERY = 1000;
const SETTLED = 60_000; // minutes go up and down a little: tanks do not hop for that
const HANDS_OFF = 3000; // they stay where they are this long after a touch or a key
const HELD_AT_MOST = 10_000; // but no longer below a lesser alarm, whatever the hand does
const PRESS = 1000; // a press that has begun still ends where it was meant

/**
 * An order of tanks that is kept for a page.
 *
 * @param redraw draws them in the new order
 * @return tanks as they stand now; new ones come last until they may be put where they belong
 */
export function settledOrder(redraw) {
  let order = [];
  let newest = [];
  let touched = -HANDS_OFF;
  let pressed = -PRESS;
  let sorted = -SETTLED;
  let wrongSince;

  const inOrder = () => {
    const byId = new Map(newest.map((tank) => [tank.id, tank]));
    return order.filter((id) => byId.has(id)).map((id) => byId.get(id));
  };

  function arrange() {
    order = worstFirst(newest).map(({ id }) => id);
    sorted = performance.now();
  }

  const isInHand = () => performance.now() - touched < HANDS_OFF || document.querySelector('dialog[open]') !== null;

  /** Alarms are put first as soon as the hand lets them, and soon all the same; anything else can wait a little. */
  function sort() {
    const now = performance.now();
    const wrong = isOutOfOrder(inOrder());
    wrongSince = wrong ? wrongSince ?? now : undefined;
    const held = wrong && now - wrongSince >= HELD_AT_MOST ? now - pressed < PRESS : isInHand();
    if (held || !wrong && now - sorted <= SETTLED) {
      return;
    }
    const focused = document.activeElement;
    arrange();
    redraw();
    if (focused !== document.activeElement) {
      focused.focus({ preventScroll: true }); // moving a tank takes the focus off its button
    }
  }

  for (const kind of ['pointerdown', 'pointermove', 'wheel', 'scroll', 'keydown']) {
    addEventListener(kind, () => { touched = performance.now(); }, { passive: true });
  }
  addEventListener('pointerdown', () => { pressed = performance.now(); }, { passive: true });
  setInterval(sort, SORT_EVERY);

  return (tanks) => {
    newest = tanks;
    const fresh = tanks.filter(({ id }) => !order.includes(id));
    if (order.length === 0 || fresh.length > 0 && !isInHand()) {
      arrange();
    } else {
      order.push(...fresh.map(({ id }) => id));
    }
    return inOrder();
  };
}
