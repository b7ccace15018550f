// SPDX-License-Identifier: Apache-2.0
// The people who are called, on the set-up page: who, when, by what, and whether it works.

import { el, keyed, say, show } from './dom.js';
import { ask, tell } from './feed.js';
import { fields } from './fields.js';
import { session } from './session.js';
import { openForm } from './setup-forms.js';
import { dayAndClockWords } from './words.js';

const EVERY = 10_000;
const MOST_WAYS = 6;
const KINDS = [['push', 'Notices on their phone or desk'], ['mail', 'Mail'], ['webhook', 'Another program (web address)']];
const FORMATS = [['json', 'In Opercle’s own way'], ['cap', 'As public warnings are written']];
const CHANNELS = { push: 'notice', mail: 'mail', webhook: 'web address' };
const channelWords = (channel) => channel.replace(/^[a-z]+/, (kind) => CHANNELS[kind] ?? kind).replace('-', ' ');

/**
 * The people in their place.
 *
 * @param part holds `#people`, `#people-none`, `#new-person` and `#people-file`
 * @param act does something with the name of who does it: (does, said) => whether it was done
 * @param said says that something is on its way
 * @param failed says what went wrong
 */
export function peopleList(part, act, said, failed) {
  const find = (id) => part.querySelector(`#${id}`);
  let known = { people: [], version: undefined, mailServer: false };
  let editable = false;
  let started = false;

  const more = el('button', { type: 'button', id: 'add-person' }, 'Add a person');
  more.addEventListener('click', () => openForm(act, find('new-person'), personForm(), more));

  async function start(calls) {
    if (!calls) {
      say(find('people-none'), 'Nobody is called from here: this is a demonstration, or another machine calls them.');
      return;
    }
    const { logInNeeded, role } = await session;
    editable = !logInNeeded || role === 'manage';
    if (editable) {
      find('new-person').append(more);
    }
    show(find('people-file'), editable);
    started = true;
    await look();
    setInterval(look, EVERY);
  }

  async function look() {
    if (!started) {
      return;
    }
    try {
      const [states, described] = await Promise.all([ask('/api/v1/people'), editable ? ask('/api/v1/setup/people') : undefined]);
      known = described ?? { ...known, people: states.people.map(({ name, channels }) => ({ name, channels })) };
      draw(states.people);
    } catch {
      // the page says by itself when the server is lost
    }
  }

  function draw(states) {
    say(find('people-none'), known.people.length === 0
      ? 'Nobody is called. An alarm is seen on these pages alone.'
      : 'In this order. Whoever is first is called first; if nobody has it, the next one too.');
    const stateOf = (name, channel) => states.find((p) => p.name === name)?.channels.find((c) => c.channel === channel) ?? {};
    keyed(find('people'), known.people, ({ name }) => name, create, (node, person) => {
      const [, hours, ways] = node.children;
      const wheel = states.find((p) => p.name === person.name)?.driving ? 'At the wheel now: told in one sentence, and the next one is called beside. ' : '';
      say(hours, wheel + (person.hours ? `On call from ${person.hours.from} to ${person.hours.to}. Outside these hours after the others.` : editable ? 'On call at any hour.' : ''));
      keyed(ways, person.channels, ({ channel }) => channel, (way) => wayItem(person.name, way),
        (item, way) => {
          const [what, state] = item.firstChild.children;
          const { tested, trouble } = stateOf(person.name, way.channel);
          say(what, `${person.name}, by ${wayWords(way)}`);
          say(state, trouble ? `Does not work: ${trouble}` : tested ? `Last test taken ${dayAndClockWords(Date.parse(tested))}.` : 'Never tested.');
        });
    });
  }

  function create({ name }) {
    const node = el('li', { 'data-person': name }, el('h3', {}, name), el('p', { class: 'quiet' }), el('ul', { class: 'list' }));
    if (editable) {
      const button = (value, words, form) => {
        const made = el('button', { type: 'button', value, 'aria-label': `${words}: ${name}` }, words);
        made.addEventListener('click', () => openForm(act, node, form(known.people.find((p) => p.name === name)), made));
        return made;
      };
      node.append(el('div', { class: 'acts' }, button('change', 'Change', personForm), button('remove', 'Call no longer', removeForm)));
    }
    return node;
  }

  function wayItem(name, { channel }) {
    const button = el('button', { type: 'button', 'aria-label': `Send a test to ${name} by ${channelWords(channel)}` }, 'Send a test');
    button.addEventListener('click', async () => {
      button.disabled = true;
      try {
        await tell('POST', `/api/v1/people/${encodeURIComponent(name)}/test`, { channel });
        said(`A test is on its way to ${name} by ${channelWords(channel)}.`);
      } catch (error) {
        failed(`Not sent. ${error.message}`);
      } finally {
        button.disabled = false;
      }
    });
    return el('li', { class: 'between' }, el('div', {}, el('p', {}), el('p', { class: 'quiet' })), button);
  }

  const address = (name, rest = '') => `/api/v1/setup/people/${encodeURIComponent(name)}${rest}`;

  function personForm(person) {
    let basedOn = known.version; // what was seen: two people at it do not undo each other
    const prefix = person ? `person-${known.people.indexOf(person)}` : 'person-new';
    const specsOf = (p) => {
      const there = known.people.length + (person ? 0 : 1);
      const at = p ? known.people.findIndex(({ name }) => name === p.name) + 1 : there;
      return [
        { path: 'name', label: 'Name', value: p?.name },
        { path: 'place', label: 'Called', choices: Array.from({ length: there }, (_, i) => [String(i + 1), placeWords(i + 1)]), value: String(at) },
        { path: 'hours/from', label: 'On call from, if not always', type: 'time', value: p?.hours?.from },
        { path: 'hours/to', label: 'On call to', type: 'time', value: p?.hours?.to },
      ];
    };
    const base = fields(prefix, specsOf(person));
    const ways = wayFields(prefix, person?.channels ?? [{ kind: 'push' }], known.mailServer);
    return {
      title: person ? `How ${person.name} is called` : 'Somebody to be called', submit: person ? 'Change it' : 'Add them',
      nodes: [...base.nodes, ways.node],
      read: () => ({ ...base.read(), channels: ways.read() }),
      mark: (errors) => ways.mark(base.mark(errors)),
      send: (by, { place, ...typed }) => ({ method: 'PUT', path: address(person?.name ?? (typed.name || ' ')),
        body: { by, basedOn, isNew: !person, ...(place && { place: Number(place) }), person: typed } }),
      done: person ? `${person.name}: changed. From now on calls go so. Send a test.` : 'They are called from now on. Send a test.',
      meanwhile: async () => {
        await look();
        basedOn = known.version;
        const now = person && known.people.find(({ name }) => name === person.name);
        if (now) {
          base.rebase(specsOf(now));
          ways.rebase(now.channels);
        }
      },
    };
  }

  function removeForm(person) {
    let basedOn = known.version;
    const last = known.people.length === 1;
    return { title: `Call ${person.name} no longer?`, submit: 'Call no longer', read: () => ({}), mark: (errors) => errors ?? [],
      nodes: [el('p', {}, last ? 'Then nobody is called at all, whatever happens to the fish.' : 'Alarms go to the others.')],
      send: (by) => ({ method: 'POST', path: address(person.name, '/remove'), body: { by, basedOn } }),
      done: `${person.name} is called no longer.`,
      meanwhile: async () => {
        await look();
        basedOn = known.version;
      } };
  }
  return { start, look };
}

const placeWords = (place) => ['first', 'second', 'third'][place - 1] ?? `${place}th`;

const wayWords = ({ channel, kind, mail, host, signed }) => {
  switch (kind) {
    case 'mail': return `mail to ${mail}`;
    case 'webhook': return `another program at ${host}${signed ? ', signed' : ''}`;
    default: return channelWords(channel);
  }
};

/** The ways of one person, one below the other, the first one to try first. */
function wayFields(prefix, channels, mailServer) {
  const list = el('div', { class: 'ways' });
  const another = el('button', { type: 'button', value: 'another' }, 'Another way');
  const node = el('div', { class: 'all-ways' }, list, el('div', { class: 'row' }, another));
  const rowsOf = (there) => there.map((way) => ({ ...way, keep: way.kind === 'webhook' ? way.channel : undefined, kind: way.kind === 'webhook' ? 'keep' : way.kind }));
  const meanwhileSaid = el('p', { class: 'wrong', role: 'status' });
  let rows = rowsOf(channels);
  let was = JSON.stringify(channels);

  another.addEventListener('click', () => {
    keepTyped();
    rows.push({ kind: mailServer ? 'mail' : 'push' });
    draw();
    list.lastElementChild.querySelector('select').focus();
  });

  /** What stands in the fields must outlive their being drawn anew. */
  function keepTyped() {
    rows.forEach((row, i) => Object.assign(row, typedIn(row, i)));
  }

  function typedIn(row, i) {
    const typed = row.part.read().channels?.[i] ?? {};
    return row.kind === 'mail' ? { mail: typed.mail ?? '' } : row.kind === 'webhook' ? { webhook: typed.webhook ?? {} } : {};
  }

  function draw() {
    list.replaceChildren(...rows.map((row, i) => {
      row.part = fields(`${prefix}-way-${i}`, specsOf(row, i));
      const kind = el('select', { id: `${prefix}-way-${i}-kind` },
        ...[...(row.keep ? [['keep', `Another program at ${row.host}, as it is`]] : []), ...KINDS].map(([value, words]) => el('option', { value }, words)));
      kind.value = row.kind;
      kind.addEventListener('change', () => {
        keepTyped();
        row.kind = kind.value;
        draw();
        document.getElementById(kind.id).focus();
      });
      const out = el('button', { type: 'button', value: 'out', 'aria-label': `Take way ${i + 1} out` }, 'Take this way out');
      out.addEventListener('click', () => {
        keepTyped();
        rows = rows.filter((other) => other !== row);
        draw();
        another.focus();
      });
      return el('div', { class: 'way' },
        el('div', { class: 'field' }, el('label', { for: kind.id }, i === 0 ? 'By' : 'Then by'), kind), ...row.part.nodes,
        ...(rows.length > 1 ? [el('div', { class: 'row' }, out)] : []));
    }));
    show(another, rows.length < MOST_WAYS);
  }

  const specsOf = ({ kind, mail, webhook }, i) => {
    switch (kind) {
      case 'mail': return [{ path: `channels/${i}/mail`, label: 'Mail address, or several with commas', long: true, value: mail }];
      case 'webhook': return [
        { path: `channels/${i}/webhook/url`, label: 'Web address, https://…', long: true, value: webhook?.url },
        { path: `channels/${i}/webhook/secret`, label: 'A secret that both know, if any', type: 'password', value: webhook?.secret },
        { path: `channels/${i}/webhook/format`, label: 'Sent as', choices: FORMATS, value: webhook?.format ?? 'json' }];
      default: return [];
    }
  };

  function read() {
    return rows.map((row, i) => {
      switch (row.kind) {
        case 'push': return 'push';
        case 'keep': return { keep: row.keep };
        default: return typedIn(row, i);
      }
    });
  }

  /** What nobody has touched here becomes what somebody else has made of it; otherwise it is said. */
  function rebase(now) {
    const is = JSON.stringify(now);
    if (is === was) {
      return;
    }
    const untouched = JSON.stringify(read()) === startedAs;
    if (untouched) {
      rows = rowsOf(now);
      draw();
      startedAs = JSON.stringify(read());
    }
    was = is;
    say(meanwhileSaid, untouched ? 'The ways were changed meanwhile.'
      : `Somebody has meanwhile made them: ${now.map((way) => wayWords(way)).join(', then ')}. What you chose stands above, and takes their place.`);
  }

  draw();
  node.append(meanwhileSaid);
  let startedAs = JSON.stringify(read());
  return { node, read, rebase, mark: (errors) => rows.reduce((left, { part }) => part.mark(left), errors ?? []) };
}
