// SPDX-License-Identifier: Apache-2.0
// Fingers and keys on a chart. Turns them into a new span; draws nothing.

import { moved, zoomed } from './span.js';

const STEP = 0.25;
const CLOSER = 0.6;

/** One finger moves, two fingers stretch. Up and down is left to the page's own scrolling. */
export function fingers(surface, { span, now, onSpan }) {
  const down = new Map();
  let start;

  const begin = () => {
    start = { span: span(), places: [...down.values()], ids: [...down.keys()] };
  };
  surface.style.touchAction = 'pan-y';
  surface.addEventListener('pointerdown', (event) => {
    if (event.pointerType !== 'mouse') {
      down.set(event.pointerId, event.clientX);
      begin();
    }
  });
  surface.addEventListener('pointermove', (event) => {
    if (!down.has(event.pointerId)) {
      return;
    }
    down.set(event.pointerId, event.clientX);
    const { left, width } = surface.getBoundingClientRect();
    if (down.size === 1) {
      onSpan(moved(start.span, (start.places[0] - event.clientX) / width, now()));
    } else if (down.size === 2) {
      const [a, b] = start.ids.map((id) => down.get(id));
      const factor = Math.abs(start.places[1] - start.places[0]) / Math.max(10, Math.abs(b - a));
      const place = ((start.places[0] + start.places[1]) / 2 - left) / width;
      onSpan(zoomed(start.span, factor, place, now()));
    }
  });
  for (const kind of ['pointerup', 'pointercancel']) {
    surface.addEventListener(kind, (event) => {
      if (down.delete(event.pointerId)) {
        begin();
      }
    });
  }
}

/**
 * Arrow keys move, plus and minus look closer and wider, 0 goes back. Arrow keys with shift are for
 * reading along the trace: `onRead(way)` is told -1 or 1, and 0 where that is over.
 */
export function keys(node, { span, now, onSpan, onReset }, onRead) {
  const steps = {
    ArrowLeft: () => onSpan(moved(span(), -STEP, now())),
    ArrowRight: () => onSpan(moved(span(), STEP, now())),
    '+': () => onSpan(zoomed(span(), CLOSER, 0.5, now())),
    '=': () => onSpan(zoomed(span(), CLOSER, 0.5, now())),
    '-': () => onSpan(zoomed(span(), 1 / CLOSER, 0.5, now())),
    0: onReset,
  };
  const ways = { ArrowLeft: () => onRead(-1), ArrowRight: () => onRead(1), Escape: () => onRead(0) };
  node.addEventListener('blur', ways.Escape);
  node.addEventListener('keydown', (event) => {
    const step = ((event.shiftKey || event.key === 'Escape') && ways[event.key]) || steps[event.key];
    if (step && span() && !event.ctrlKey && !event.metaKey && !event.altKey) {
      event.preventDefault();
      step();
    }
  });
}
