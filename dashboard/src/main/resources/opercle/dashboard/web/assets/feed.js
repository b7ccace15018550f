// SPDX-License-Identifier: Apache-2.0
// Owns the connection: the live stream, and questions to the server. Draws nothing.

const QUIET = 6000; // the server sends every second: this long without anything, and it is lost
const LATE = 6000; // events that queue so long on the way are old when they come

/**
 * Listens to the live stream, and comes back by itself after a loss.
 *
 * An event carries no age that two clocks would agree upon, but events are made at a steady pace:
 * one that lags behind that pace has queued on a slow way. Then the stream is opened anew, which
 * leaves the queue behind and begins with the newest.
 *
 * @param onEvent called with each event's content
 * @param onLost called when the server is silent, late or gone; may be called again and again
 * @param onGreeted called with how the stream goes on: { is: new, resumed or restarted, missed }
 */
export function listen(onEvent, onLost, onGreeted = () => {}) {
  let source;
  let last;
  let lastId = '';
  let every = 1000;
  let least = Infinity; // browser's clock less the pace's, at its best

  const open = () => {
    source?.close();
    last = performance.now();
    source = new EventSource(lastId ? `/live?after=${encodeURIComponent(lastId)}` : '/live');
    source.addEventListener('stream', (message) => {
      const greeting = JSON.parse(message.data);
      every = greeting.everyMs;
      least = Infinity; // what comes next is the newest there is
      onGreeted(greeting);
    });
    source.addEventListener('farm', (message) => {
      last = performance.now();
      lastId = message.lastEventId;
      const offset = last - every * Number(lastId.split('-')[1]);
      least = Math.min(least, offset);
      if (offset - least > LATE) {
        onLost();
        open();
      } else {
        onEvent(JSON.parse(message.data));
      }
    });
    source.addEventListener('error', onLost);
  };

  setInterval(() => {
    if (performance.now() - last > QUIET) {
      onLost();
      open();
    }
  }, 1000);
  addEventListener('online', open);
  addEventListener('pagehide', () => source.close()); // a browser gives a site few connections
  addEventListener('pageshow', (event) => event.persisted && open());
  open();
}

/** Asks for JSON; throws an Error whose message is the server's own sentence. */
export async function ask(path) {
  return understood(await answered(fetch(path, { headers: { accept: 'application/json' } })));
}

/**
 * Asks a question that takes more than an address; throws as `ask` does, with the answer's status
 * and, where the server names them, the fields that are wrong.
 */
export async function askWith(path, body) {
  return understood(await answered(fetch(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json', 'accept': 'application/json' },
    body: JSON.stringify(body),
  })));
}

/** Hands a file of JSON over as it is. */
export async function askWithFile(path, file) {
  return understood(await answered(fetch(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json', 'accept': 'application/json' },
    body: file,
  })));
}

/**
 * Says what a person does to an alarm.
 *
 * @param act acknowledge, silence, reset, shelve or unshelve
 * @param more minutes, to shelve
 */
export async function doTo(tankId, cause, act, by, more = {}) {
  const path = `/api/v1/tanks/${encodeURIComponent(tankId)}/alarms/${encodeURIComponent(cause)}/${act}`;
  await tell('POST', path, { by, ...more });
}

/** Says that a person has an alarm. */
export const acknowledge = (tankId, cause, by) => doTo(tankId, cause, 'acknowledge', by);

/** Returns a tank, or one cause of it, to service. */
export async function returnToService(tankId, cause, by) {
  await tell('POST', `/api/v1/tanks/${encodeURIComponent(tankId)}/return-to-service`,
    cause === undefined ? { by } : { by, cause });
}

/** Says what was done at a tank; the same id again is the same deed. */
export const noteEvent = (tankId, kind, by, id) =>
  tell('POST', `/api/v1/tanks/${encodeURIComponent(tankId)}/events`, { by, kind, ...(id && { id }) });

/** Takes a tank, or one cause of it, out of service: who, why, for how many minutes. */
export const takeOutOfService = (tankId, order) =>
  tell('POST', `/api/v1/tanks/${encodeURIComponent(tankId)}/out-of-service`, order);

/** Tells the server something; throws an Error whose message is the server's own sentence. */
export async function tell(method, path, body) {
  await answered(fetch(path, {
    method,
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  }));
}

/** Says whether an alarm was for something. */
export async function judge({ tank, cause, since }, wasTrue, by) {
  const path = `/api/v1/tanks/${encodeURIComponent(tank)}/alarms/${encodeURIComponent(cause)}/verdict`;
  await answered(fetch(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ since, wasTrue, by }),
  }));
}

/** A drawing, as text; throws as `ask` does. */
export async function askDrawing(path) {
  const answer = await answered(fetch(path, { headers: { accept: 'image/svg+xml' } }));
  return answer.headers.get('content-type')?.startsWith('image/svg+xml') ? answer.text() : strange();
}

/** An answer of ours; what a network on the way puts in its place is none. */
const understood = (answer) => answer.json().catch(strange);

function strange() {
  throw new Error('Something else answers in place of the server. Does the network here want you to log in to it first?');
}

/** What is said where the answer has no words of its own. */
export const unsaidWords = (status) => ([502, 503, 504].includes(status)
  ? 'The server does not answer just now. Try again in a minute.'
  : 'The server could not do it, and does not say why. Try again; if it stays so, tell whoever looks after it.');

async function answered(request) {
  let response;
  try {
    response = await request;
  } catch {
    throw new Error('The server cannot be reached.');
  }
  if (!response.ok) {
    const problem = await response.json().catch(() => ({}));
    throw Object.assign(new Error(problem.detail ?? unsaidWords(response.status)),
      { status: response.status, errors: problem.errors });
  }
  return response;
}
