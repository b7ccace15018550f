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

/** A table of which each cell names its column: on a phone its rows stand as blocks, without a head. */
export function labelled(table) {
  const heads = [...table.querySelectorAll('thead th')].map((head) => head.textContent);
  table.querySelectorAll('tbody tr').forEach((row) => [...row.children].forEach((cell, i) => {
    cell.dataset.of = heads[i];
  }));
  return table;
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

/**
 * Makes what stands in a place say what is to be said now. What says the same stays, and what is
 * left keeps its focus, its scrolling and what was opened in it. Where a button does something else
 * from then on, it must be in a child of another key (`renewed`).
 */
export function renew(parent, fresh) {
  const before = [...parent.childNodes];
  fresh.forEach((node, i) => {
    const old = before[i];
    if (old === undefined) {
      parent.append(node);
    } else if (old.nodeType !== node.nodeType || old.nodeName !== node.nodeName) {
      old.replaceWith(node);
    } else if (!old.isEqualNode(node)) {
      become(old, node);
    }
  });
  before.slice(fresh.length).forEach((node) => node.remove());
}

/** The same for children that each have a key, as of `keyed`, and are made whole from their item. */
export const renewed = (parent, items, keyOf, create) =>
  keyed(parent, items, keyOf, create, (child, item) => {
    const fresh = create(item);
    fresh.dataset.key = child.dataset.key;
    become(child, fresh);
  });

function become(old, node) {
  if (old.nodeType !== Node.ELEMENT_NODE) {
    old.data = node.data;
    return;
  }
  for (const { name } of [...old.attributes]) {
    if (!node.hasAttribute(name) && name !== 'open') { // what a person has opened stays open
      old.removeAttribute(name);
    }
  }
  for (const { name, value } of node.attributes) {
    if (old.getAttribute(name) !== value) {
      old.setAttribute(name, value);
    }
  }
  renew(old, [...node.childNodes]);
}
