// SPDX-License-Identifier: Apache-2.0
// What a person has done at a tank, so that the watch knows; and taking a tank out of service.

import { el, say, show } from './dom.js';
import { ask, askWith, noteEvent, takeOutOfService } from './feed.js';
import { whoIsIt } from './name.js';
import { photoField, photoLink, sendPhoto } from './photo.js';
import { FISH, newId, readNumber } from './trip-words.js';
import { inOwnUnits, unitOf } from './units.js';
import { causeWords, CAUSE_IDS, dayAndClockWords } from './words.js';

/** In the order in which a day has them. */
const DONE = [
  ['fed', 'Fed'],
  ['fish-added', 'Put fish in'],
  ['fish-removed', 'Took fish out'],
  ['handled', 'Netted or sorted'],
  ['water-changed', 'Changed water'],
  ['probe-cleaned', 'Cleaned a probe'],
  ['gas-changed', 'Set the gas anew'],
];

const SHOWN = 5;

/** What to do about fish that look so, at once. */
const ADVICE = {
  'gasping': 'Give more gas now and stay with them. Look at the supply, the hose and the bubbles.',
  'lying-over': 'Gas up, fresh water of about the same temperature if you have it, and call for help now.',
};

const HOURS = [1, 4, 12, 24, 72, 168];

/** What was done, as people say it. */
export const doneWords = (kind) => (kind === 'checked' ? 'Checked by hand' : DONE.find(([id]) => id === kind)?.[1] ?? kind);

/** Fills a section of a tank's page. */
export function doneHere(section, tankId) {
  const noted = el('p', { role: 'status', class: 'quiet' });
  const trouble = el('p', { class: 'trouble', role: 'alert', hidden: '' });
  const buttons = DONE.map(([kind, words]) => {
    const button = el('button', { type: 'button', value: kind }, words);
    let again; // the id of a note that may not have arrived
    button.addEventListener('click', () => does(button, async (by) => {
      again ??= newId();
      await noteEvent(tankId, kind, by, again);
      again = undefined;
      return `Noted: ${words.toLowerCase()} (${by}).`;
    }));
    return button;
  });
  section.append(
    el('h2', { id: 'done-heading' }, 'Done here just now'),
    el('p', { class: 'quiet' }, 'So that the watch knows why oxygen moves. What it takes into account it says in its alarms.'),
    el('div', { class: 'acts' }, ...buttons), noted, trouble, handCheck(), outOfService());

  async function does(button, act) {
    const by = await whoIsIt();
    if (!by) {
      return;
    }
    button.disabled = true;
    show(trouble, false);
    try {
      say(noted, await act(by));
    } catch (error) {
      say(noted, '');
      say(trouble, `Not noted. ${inOwnUnits(error.message)}`);
      show(trouble, true);
    } finally {
      (trouble.hidden ? noted : trouble).scrollIntoView({ block: 'nearest' }); // a form may be far below
      button.disabled = false;
    }
  }

  /** What somebody saw and measured here; kept in the farm book, and set beside the probe in a review. */
  function handCheck() {
    const fish = el('select', { id: 'hand-fish', required: '' }, el('option', { value: '' }, 'Say how'),
      ...FISH.map(([value, words]) => el('option', { value }, words)));
    const number = (id) => el('input', { id, inputmode: 'decimal', autocomplete: 'off' });
    const [oxygen, water] = [number('hand-oxygen'), number('hand-water')];
    const note = el('input', { id: 'hand-note', maxlength: '500', autocomplete: 'off' });
    const form = el('form', { class: 'out-of-service' },
      el('label', { for: 'hand-fish' }, 'How are the fish?'), fish,
      el('label', { for: 'hand-oxygen' }, 'Oxygen by hand meter, mg/L'), oxygen,
      el('label', { for: 'hand-water' }, `Water by hand meter, ${unitOf('temperature')}`), water,
      el('label', { for: 'hand-note' }, 'Note'), note,
      el('button', { type: 'submit' }, 'Write it down'));
    const photo = photoField('hand-photo');
    form.lastElementChild.before(photo.node);
    const made = el('ul', { id: 'hand-made', class: 'points' });
    const address = `/api/v1/tanks/${encodeURIComponent(tankId)}`;
    const look = async () => {
      const { work, photos } = await ask(`${address}/holding`);
      made.replaceChildren(...work.filter(({ kind, withdrawn }) => kind === 'hand-check' && !withdrawn).slice(0, SHOWN)
        .map(({ id: entry, title, fields, versions }) => el('li', {},
          [`${dayAndClockWords(Date.parse(fields.time))}, ${versions[0].by}. ${inOwnUnits(title)}`, fields.note].filter(Boolean).join('. '),
          ...(photos.includes(entry) ? [photoLink(`${address}/done/${encodeURIComponent(entry)}`, `Picture: ${inOwnUnits(title)}`)] : []))));
    };
    let id; // of a check that may not have arrived
    form.addEventListener('input', ({ target }) => {
      id = target === photo.input ? id : undefined; // what is changed is another check
    });
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      does(form.querySelector('button'), async (by) => {
        const fields = { fish: fish.value, ...some('oxygenMgPerL', readNumber(oxygen, 'Oxygen')),
          ...some('temperatureC', readNumber(water, 'Water', 'temperature')), ...some('note', note.value.trim() || undefined) };
        id ??= newId();
        await askWith(`${address}/work`, { id, by, kind: 'hand-check', fields });
        say(trouble, ADVICE[fish.value] ?? '');
        show(trouble, fish.value in ADVICE);
        const pictured = await sendPhoto(photo.input, `${address}/done/${encodeURIComponent(id)}`, by);
        if (photo.input.value === '') { // a picture that did not arrive is sent again by the same button
          id = undefined;
          form.reset();
        }
        await look().catch(() => {}); // it is kept; the list can wait
        return `Noted: checked by hand (${by}).${pictured}`;
      });
    });
    const part = el('details', { id: 'hand-check' }, el('summary', {}, 'Check by hand'), form,
      made,
      el('p', {}, el('a', { href: `/holding?tank=${encodeURIComponent(tankId)}` }, 'All checks here, and putting one right')));
    part.addEventListener('toggle', () => part.open && look().catch(() => {}));
    return part;
  }

  const some = (name, value) => (value === undefined ? {} : { [name]: value });

  function outOfService() {
    const what = el('select', { id: 'out-what' }, el('option', { value: '' }, 'All alarms of this tank'),
      ...CAUSE_IDS.map((cause) => el('option', { value: cause }, causeWords(cause))));
    const hours = el('select', { id: 'out-hours' }, ...HOURS.map((h) =>
      el('option', { value: h }, h < 48 ? `${h} h` : `${h / 24} days`)));
    const reason = el('input', { id: 'out-reason', maxlength: '200', required: '', autocomplete: 'off' });
    const button = el('button', { type: 'submit' }, 'Take out of service');
    const form = el('form', { class: 'out-of-service' },
      el('label', { for: 'out-what' }, 'What'), what,
      el('label', { for: 'out-reason' }, 'Why'), reason,
      el('label', { for: 'out-hours' }, 'For how long'), hours,
      button);
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      does(button, async (by) => {
        const words = what.selectedOptions[0].textContent;
        await takeOutOfService(tankId,
          { by, reason: reason.value.trim(), minutes: Number(hours.value) * 60, ...(what.value && { cause: what.value }) });
        reason.value = '';
        return `Out of service: ${words} (${by}).`;
      });
    });
    return el('details', {}, el('summary', {}, 'Take alarms out of service'),
      el('p', { class: 'quiet' }, 'While a tank is empty, say, or a probe is away. They call nobody until the time is over or you take them back.'),
      form);
  }
}
