// SPDX-License-Identifier: Apache-2.0
// A picture with a check: made small on the device, sent, and shown.

import { el } from './dom.js';
import { askWith } from './feed.js';

const LONGEST_SIDE = 1280;
const MOST_BYTES = 170_000; // what the server takes, less what base64 adds
const QUALITIES = [0.8, 0.65, 0.5, 0.35];

/** A field to choose a picture, or to take one on a phone. */
export function photoField(id) {
  const input = el('input', { id, type: 'file', accept: 'image/*' });
  return { input, node: el('div', { class: 'field wide-field' }, el('label', { for: id }, 'A picture, if it helps'), input) };
}

/**
 * Sends the picture that was chosen, if any, to go with an entry that is kept already.
 *
 * @param entry the entry's address
 * @return what to add to what is said: nothing where none was chosen or all went well
 */
export async function sendPhoto(input, entry, by) {
  const [file] = input.files;
  if (!file) {
    return '';
  }
  try {
    await askWith(`${entry}/photo`, { by, picture: await small(file) });
    input.value = '';
    return ' With its picture.';
  } catch (error) {
    return ` But its picture is not kept: ${error.message} Press again to send it once more.`; // the check is, and that counts
  }
}

/** Upright, small, and as base64. */
async function small(file) {
  let image;
  try {
    image = await createImageBitmap(file);
  } catch {
    throw new Error('It is no picture that this device can read.');
  }
  const scale = Math.min(1, LONGEST_SIDE / Math.max(image.width, image.height));
  const canvas = el('canvas', { width: Math.max(1, Math.round(image.width * scale)), height: Math.max(1, Math.round(image.height * scale)) });
  canvas.getContext('2d').drawImage(image, 0, 0, canvas.width, canvas.height);
  for (const quality of QUALITIES) {
    const blob = await new Promise((resolve) => {
      canvas.toBlob(resolve, 'image/jpeg', quality);
    });
    if (blob && blob.size <= MOST_BYTES) {
      return base64(new Uint8Array(await blob.arrayBuffer()));
    }
  }
  throw new Error('It cannot be made small enough.');
}

const base64 = (bytes) => btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(''));

/** The picture of an entry, to be looked at larger by a tap. */
export const photoLink = (entry, words) =>
  el('a', { href: `${entry}/photo`, class: 'photo' }, el('img', { src: `${entry}/photo`, alt: words, loading: 'lazy' }));
