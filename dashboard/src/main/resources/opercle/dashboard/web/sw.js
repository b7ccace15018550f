// SPDX-License-Identifier: Apache-2.0
// The service worker: shows notices, and says that nothing is live when the server is gone. It
// keeps no reading, state or answer of the server: a page shown from a store would look alive.

const STORE = 'opercle-offline-3';
const OFFLINE = '/offline';
const PARTS = ['/assets/base.css', '/assets/offline.css', '/assets/offline.js', '/assets/early.js',
  '/assets/mark.svg'];

addEventListener('install', (event) => {
  event.waitUntil(caches.open(STORE)
    .then((store) => store.addAll([OFFLINE, ...PARTS].map((path) => new Request(path, { cache: 'reload' }))))
    .then(() => skipWaiting()));
});

addEventListener('activate', (event) => {
  event.waitUntil(caches.keys()
    .then((names) => Promise.all(names.filter((name) => name !== STORE).map((name) => caches.delete(name))))
    .then(() => clients.claim()));
});

addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.mode === 'navigate') {
    event.respondWith(fetch(request).catch(() => stored(OFFLINE)));
  } else if (request.method === 'GET' && PARTS.includes(new URL(request.url).pathname)) {
    event.respondWith(fetch(request).catch(() => stored(request)));
  }
});

const stored = async (request) => (await caches.match(request)) ?? Response.error();

addEventListener('push', (event) => {
  const notice = read(event.data);
  event.waitUntil(registration.showNotification(notice.title, {
    body: notice.body,
    tag: notice.tag, // one notice for each occurrence of an alarm: news replaces it
    renotify: notice.calls,
    silent: !notice.calls,
    requireInteraction: notice.high,
    timestamp: Date.parse(notice.time) || Date.now(),
    icon: '/assets/mark-192.png',
    badge: '/assets/mark-192.png',
    data: { path: notice.path },
  }));
});

/** What cannot be read is still said: it was sent because somebody is needed. */
function read(data) {
  const unread = { title: 'Opercle calls', body: 'The notice could not be read. Look at the tanks.',
    tag: 'unread', path: '/', high: true, calls: true };
  try {
    return { ...unread, ...data.json() };
  } catch {
    return unread;
  }
}

addEventListener('notificationclick', (event) => {
  event.notification.close();
  const { path } = event.notification.data ?? {};
  const target = new URL(path ?? '/', location.origin);
  event.waitUntil(open(target.origin === location.origin ? target : new URL('/', location.origin)));
});

async function open(target) {
  const pages = await clients.matchAll({ type: 'window' });
  const there = pages.find((page) => new URL(page.url).pathname === target.pathname);
  return there ? there.focus() : clients.openWindow(target.href);
}
