// SPDX-License-Identifier: Apache-2.0
// What this device remembers of itself. Without storage it is remembered for this page only.

const here = new Map();

export function recall(key, otherwise = '') {
  try {
    return localStorage.getItem(`opercle-${key}`) ?? here.get(key) ?? otherwise;
  } catch {
    return here.get(key) ?? otherwise;
  }
}

export function remember(key, value) {
  here.set(key, value);
  try {
    localStorage.setItem(`opercle-${key}`, value);
  } catch {
    // storage is switched off
  }
}
