// SPDX-License-Identifier: Apache-2.0
// Making and changing elements. Text only ever goes in as text, never as markup.

const SVG = 'http://www.w3.org/2000/svg';

/** An element with attributes and children; children may be elements or text. */
export function el(tag, attributes = {}, ...children) {
  return filled(document.createElement(tag), attributes, children);
}

/** The same for drawings. */
export function svg(tag, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, tag), attributes, children);
}

function filled(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    node.setAttribute(name, value);
  }
  node.append(...children);
  return node;
}

/** Sets text if it differs, so that screen readers and selections are left alone otherwise. */
export function say(node, text) {
  if (node.textContent !== text) {
    node.textContent = text;
  }
}

/** What pointing at it says: worked out only when somebody does, not every second for every tank. */
export const onPointing = (node, words) => node.addEventListener('pointerenter', () => { node.title = words(); });

/** Shows or hides. */
export function show(node, visible) {
  if (node.hidden === visible) {
    node.hidden = !visible;
  }
}

/**
 * Keeps one child per item, in order, and reuses the children there are: a button that is redrawn
 * every second must not lose the finger or the focus that is on it.
 */
export function keyed(parent, items, keyOf, create, update) {
  const before = [...parent.children];
  const left = new Map(before.map((child) => [child.dataset.key, child]));
  const kept = [];
  let place = parent.firstElementChild;
  for (const item of items) {
    const key = keyOf(item);
    let child = left.get(key);
    if (child) {
      left.delete(key);
    } else {
      child = create(item);
      child.dataset.key = key;
    }
    if (child === place) {
      place = place.nextElementSibling;
    } else {
      parent.insertBefore(child, place);
    }
    kept.push(child);
    update(child, item);
  }
  const used = new Set(kept);
  before.filter((child) => !used.has(child)).forEach((child) => child.remove()); // two of one key too
}
