// SPDX-License-Identifier: Apache-2.0
// Notices to this device: asking for them, stopping them, trying them.

import { ask, tell } from './feed.js';

/** 'granted', 'ask', 'denied'; or 'insecure', 'unable' where no asking helps. */
export async function notices() {
  if (!isSecureContext) {
    return 'insecure';
  }
  if (!('serviceWorker' in navigator && 'PushManager' in window && 'Notification' in window)) {
    return 'unable';
  }
  return Notification.permission === 'default' ? 'ask' : Notification.permission;
}

/** Whether this device is called. */
export const isCalled = async () => Boolean(await current());

async function current() {
  if (await notices() !== 'granted') {
    return undefined;
  }
  const registration = await navigator.serviceWorker.getRegistration('/');
  return await registration?.pushManager.getSubscription() ?? undefined;
}

/**
 * Asks the browser and tells the server. Call it within a tap: browsers refuse to ask otherwise.
 *
 * @param whoIsIt asks for the person's name
 * @throws Error with a sentence to show
 */
export async function startNotices(whoIsIt) {
  if (await Notification.requestPermission() !== 'granted') {
    throw new Error('Notices were not allowed. Nothing has changed.');
  }
  const by = await whoIsIt();
  if (!by) {
    throw new Error('Without a name nobody knows whose device this is. Nothing has changed.');
  }
  const { publicKey } = await ask('/api/v1/push/key');
  await navigator.serviceWorker.register('/sw.js');
  const { pushManager } = await navigator.serviceWorker.ready;
  let subscription;
  try {
    subscription = await pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: bytes(publicKey) });
  } catch {
    // An old subscription to another key stands in the way; or the push service is not reached.
    await (await pushManager.getSubscription())?.unsubscribe();
    throw new Error('The browser could not reach the service that brings notices to this device. Try again.');
  }
  const { endpoint, keys } = subscription.toJSON();
  try {
    await tell('POST', '/api/v1/push/subscriptions', { by, endpoint, keys });
  } catch (error) {
    await subscription.unsubscribe(); // half of it would look as if it worked
    throw error;
  }
}

/**
 * Tells the server once more that this device is called: it may have lost its book, and a device
 * that believes itself called and is not would sleep on.
 */
export async function confirmNotices(by) {
  const subscription = await current();
  if (subscription && by) {
    const { endpoint, keys } = subscription.toJSON();
    await tell('POST', '/api/v1/push/subscriptions', { by, endpoint, keys });
  }
}

/** Sends the test notice to this device. */
export async function testNotice() {
  const { endpoint } = await current() ?? {};
  await tell('POST', '/api/v1/push/test', { endpoint });
}

/** Stops notices to this device. */
export async function stopNotices() {
  const subscription = await current();
  if (subscription) {
    const { endpoint } = subscription;
    await subscription.unsubscribe(); // first: from here on nothing comes, whatever the server does
    await tell('DELETE', '/api/v1/push/subscriptions', { endpoint });
  }
}

function bytes(base64url) {
  const text = atob(base64url.replaceAll('-', '+').replaceAll('_', '/'));
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0));
}
