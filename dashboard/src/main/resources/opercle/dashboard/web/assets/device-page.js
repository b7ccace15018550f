// SPDX-License-Identifier: Apache-2.0
// How this device calls its owner: by sound, by notices, in the cab.

import { el, say, show } from './dom.js';
import { begin } from './live.js';
import { knownName, whoIsIt } from './name.js';
import { confirmNotices, isCalled, notices, startNotices, stopNotices, testNotice } from './notices.js';
import { session } from './session.js';
import { soundState, test, turnOff, turnOn } from './sound.js';
import { choose, KINDS, unitOf } from './units.js';

const byId = (id) => document.getElementById(id);
const trouble = byId('notices-trouble');

function drawSound() {
  const { wanted, allowed, words } = soundState();
  say(byId('sound-now'), {
    'Sound off': 'Sound is switched off on this device.',
    'No sound yet': 'This browser keeps quiet until you tap.',
  }[words] ?? `${words}.`);
  say(byId('sound-switch'), wanted && allowed ? 'Turn sound off here' : 'Turn sound on');
}

async function drawNotices() {
  const state = await notices();
  const called = await isCalled();
  const by = knownName();
  say(byId('notices-now'), called ? `This device is called${by ? ` for ${by}` : ''}.` : NOTICES[state]);
  show(byId('notices-on'), !called && (state === 'ask' || state === 'granted'));
  show(byId('notices-test'), called);
  show(byId('notices-off'), called);
}

const NOTICES = {
  ask: 'This device is not called.',
  granted: 'This device is not called.',
  denied: 'This browser has notices blocked for this page. Allow them in its settings for this page, then come back.',
  insecure: 'Browsers give notices only to pages whose address begins with https. This one does not.',
  unable: 'This browser knows no notices here. On an iPhone, add Opercle to the home screen first.',
};

const acting = (button, act) => button.addEventListener('click', async () => {
  button.disabled = true;
  show(trouble, false);
  try {
    const said = await act();
    if (said) {
      say(trouble, said);
      show(trouble, true);
    }
  } catch (error) {
    say(trouble, error.message);
    show(trouble, true);
  } finally {
    button.disabled = false;
    await drawNotices();
  }
});

byId('hear').addEventListener('click', async () => {
  if (!await test('high')) {
    await turnOn();
  }
  drawSound();
});
byId('sound-switch').addEventListener('click', async () => {
  const { wanted, allowed } = soundState();
  await (wanted && allowed ? turnOff() : turnOn());
  drawSound();
});
acting(byId('notices-on'), () => startNotices(whoIsIt));
acting(byId('notices-test'), async () => {
  await testNotice();
  return 'The test is on its way. If nothing comes within a minute, look at the phone’s own settings for this browser.';
});
acting(byId('notices-off'), stopNotices);

function unitChoice([kind, { title, units }]) {
  const select = el('select', { id: `unit-${kind}` },
    ...Object.keys(units).map((unit) => el('option', { value: unit }, unit)));
  select.value = unitOf(kind);
  select.addEventListener('change', () => choose(kind, select.value));
  return el('label', {}, el('span', {}, title), select);
}
byId('units').append(...Object.entries(KINDS).map(unitChoice));

begin(drawSound, () => true);
session.then(drawNotices);
session.then(() => confirmNotices(knownName())).catch(({ message }) => {
  say(trouble, `This device may not be called: ${message}`);
  show(trouble, true);
});
