// SPDX-License-Identifier: Apache-2.0
// All holding tanks: what has built up, what to do next, and what was done.

import { el, onPointing, renew, renewed, say, show } from './dom.js';
import { ask, askWith } from './feed.js';
import { changeWords, doseWords, holdingFacts, holdingLine, startWords, topUpWords, withdrawalWords } from './holding-words.js';
import { begin, entitle } from './live.js';
import { whoIsIt } from './name.js';
import { sayOld } from './old.js';
import { askWhy, entryForm, newId } from './records-form.js';
import { photoLink } from './photo.js';
import { FISH } from './trip-words.js';
import { inOwnUnits } from './units.js';
import { dayAndClockWords, zoneKnown } from './words.js';

const REFRESH = 60_000;
const OLD_AFTER = 150; // seconds: two answers that did not come
const byId = (id) => document.getElementById(id);
const plain = (name, label, is = 'text') => ({ name, label, is });
const note = plain('note', 'Note', 'long');
const when = plain('time', 'When, if not just now', 'time');

const LOST = [['evaporated', 'It evaporated: its salt is still here'], ['ran-out', 'Splashed, leaked, went with fish']];
const lost = () => ({ name: 'lost', label: 'Where it went', is: 'choice', choices: () => LOST });

const KINDS = [
  ['hand-check', 'Check by hand', [{ name: 'fish', label: 'How are the fish?', is: 'choice', choices: () => FISH },
    plain('oxygenMgPerL', 'Oxygen by hand meter, mg/L', 'number'), plain('temperatureC', 'Water by hand meter', 'temperature'), when, note]],
  ['feed', 'Feed', [plain('kg', 'How much', 'mass'), plain('proteinPercent', 'Protein on the bag, %', 'number'), when, note]],
  ['water-change', 'Water change', [plain('litres', 'Water let out and in', 'volume'), when, note]],
  ['salt', 'Salt', [plain('kg', 'How much', 'mass'), plain('reason', 'What for'), when]],
  ['top-up', 'Top-up', [plain('litres', 'Water filled up', 'volume'), lost(), plain('saltKg', 'Salt put in with it', 'mass'), when, note]],
  ['water-test', 'Water test by hand', [plain('tanMgPerL', 'Total ammonia, mg/L as nitrogen', 'number'), plain('ph', 'pH', 'number'),
    plain('carbonDioxideMgPerL', 'Carbon dioxide, mg/L', 'number'), plain('alkalinityMgPerL', 'Alkalinity, mg/L as CaCO₃', 'number'),
    plain('salinityGPerKg', 'Salt, g/L', 'number'), plain('temperatureC', 'Water', 'temperature'), when, note]],
  ['treatment', 'Medicine or bath', [plain('what', 'What'), plain('amount', 'How much'), plain('reason', 'What for'),
    plain('withdrawal', 'Withdrawal period in the vet’s words; “none” if the vet said so', 'long'), plain('until', 'Its last day, as the vet said', 'day'), when, note]],
  ['moved', 'Fish into another tank', [{ name: 'to', label: 'Into', is: 'choice', choices: () => everyTank().filter(({ tank }) => tank !== chosen).map(({ tank, name }) => [tank, name]) },
    plain('species', 'Kind of fish'), plain('kg', 'How much', 'mass'), when, note]],
  ['cleaning', 'Cleaning', [when, note]],
];
const CAUTIONS = {
  'moved': 'So that the words about a medicine go with the fish. Their weight in each tank is changed under Tanks and probes, which writes this down by itself.',
  'salt': 'Pure salt, dissolved first; no zinc-coated tanks.',
  'treatment': 'Medicines only under a vet’s advice and the rules of your authority. The period is the vet’s to say: nothing is worked out here.',
};

let readAt = Date.now();
let tanks = [];
let others = []; // tanks in which nothing builds up over days, but where things are done
const everyTank = () => [...tanks, ...others];
let chosen = new URLSearchParams(location.search).get('tank') ?? '';
const path = (rest) => `/api/v1/tanks/${encodeURIComponent(chosen)}/${rest}`;
const nameOf = (id) => everyTank().find(({ tank }) => tank === id)?.name ?? 'A tank no longer in the farm';

/** Does something and says what came of it. */
async function acting(button, act) {
  show(byId('trouble'), false);
  show(byId('done'), false);
  button.disabled = true;
  try {
    const said = await act();
    say(byId('done'), said ?? '');
    show(byId('done'), Boolean(said));
  } catch (error) {
    say(byId('trouble'), `Not done. ${inOwnUnits(error.message)}`);
    show(byId('trouble'), true);
    byId('trouble').scrollIntoView({ block: 'center' });
  } finally {
    button.disabled = false;
  }
}

function button(words, act) {
  const node = el('button', { type: 'button' }, words);
  node.addEventListener('click', () => acting(node, act));
  return node;
}

const paragraphs = (sentences) => sentences.map((words) => el('p', {}, words));

function tankPart(part) {
  const facts = el('dl', { class: 'facts' }, ...holdingFacts(part).map(([heading, sentence]) =>
    el('div', {}, el('dt', {}, heading), el('dd', {}, sentence))));
  return el('section', { class: 'holding-tank', 'data-tank': part.tank },
    el('h2', {}, el('a', { href: `/tank/${encodeURIComponent(part.tank)}` }, part.name)),
    ...part.withdrawals.map((w) => el('p', { class: 'soon' }, withdrawalWords(w))),
    ...(part.stocked ? part.next.map((words, i) => el('p', i === 0 ? { class: 'next' } : {}, inOwnUnits(words))) : [el('p', { class: 'quiet' }, 'No fish.')]),
    ...(part.stocked ? [glance(part), el('details', {}, el('summary', {}, 'Figures, and where from'), facts)] : []),
    el('div', { class: 'row' }, button('Write down', async () => {
      choose(part.tank);
      byId('write-heading').focus();
      byId('write-part').scrollIntoView();
    })));
}

function glance(part) {
  const node = el('p', { class: 'glance' }, holdingLine(part));
  onPointing(node, () => holdingFacts(tanks.find(({ tank }) => tank === part.tank) ?? part).map(([heading, sentence]) => `${heading}: ${sentence}`).join(' '));
  return node;
}

async function load() {
  const answer = await ask('/api/v1/holding');
  readAt = Date.now();
  tanks = answer.tanks;
  show(byId('none'), tanks.length === 0);
  ({ others } = answer);
  show(byId('write-part'), everyTank().length > 0);
  show(byId('read-only'), !answer.writable);
  show(byId('forms'), answer.writable);
  renewed(byId('tanks'), tanks, ({ tank }) => tank, tankPart);
  if (byId('which').options.length !== everyTank().length) {
    byId('which').replaceChildren(...everyTank().map(({ tank, name }) => el('option', { value: tank }, name)));
  }
  await choose(everyTank().some(({ tank }) => tank === chosen) ? chosen : everyTank()[0]?.tank);
}

async function choose(tank) {
  if (!tank) {
    return;
  }
  if (chosen !== tank) {
    forms.forEach(({ leave }) => leave()); // what was put right there is not of this tank
  }
  chosen = tank;
  byId('which').value = tank;
  forms.forEach(({ entry }) => entry.offer());
  say(byId('salt-tank'), nameOf(tank));
  say(byId('work-tank'), nameOf(tank));
  show(byId('reckon-part'), tanks.some((holding) => holding.tank === tank));
  const { work, writable, withdrawals, photos } = await ask(path('holding'));
  if (chosen !== tank) {
    return; // somebody chose another meanwhile
  }
  renew(byId('running'), (others.some((other) => other.tank === tank) ? withdrawals : []).map((w) => el('p', { class: 'soon' }, withdrawalWords(w))));
  renewed(byId('work'), work, ({ id, versions }) => `${id} ${versions.length}`, // put right, it is another to put right
    (entry) => workPart(entry, writable, photos.includes(entry.id)));
  show(byId('no-work'), work.length === 0);
}

function workPart(entry, writable, hasPhoto) {
  const last = entry.versions.at(-1);
  return el('li', {},
    el('p', entry.withdrawn ? { class: 'gone' } : {}, inOwnUnits(entry.title)),
    el('p', { class: 'quiet' }, [`${dayAndClockWords(Date.parse(entry.fields.time))}, ${entry.versions[0].by}`,
      entry.fields.reason, entry.fields.note, correctedWords(entry), entry.withdrawn ? `Withdrawn by ${last.by}: ${last.why}` : ''].filter(Boolean).join('. ')),
    ...(hasPhoto ? [photoLink(path(`work/${encodeURIComponent(entry.id)}`), `Picture: ${inOwnUnits(entry.title)}`)] : []),
    ...(entry.withdrawn || !writable ? [] : [el('div', { class: 'row' },
      button('Put right', () => correct(entry)), button('Withdraw', () => withdraw(entry)))]));
}

/** Of an entry that was put right, by whom and why, and what stood there before. */
function correctedWords({ versions, withdrawn }) {
  const last = versions.at(-1);
  return versions.length < 2 || withdrawn ? ''
    : `Put right by ${last.by}: ${last.why}. Before: ${versions.slice(0, -1).map(({ title }) => inOwnUnits(title)).join('; ')}`;
}

async function correct(entry) {
  const why = await askWhy(`Put right: ${inOwnUnits(entry.title)}`);
  if (why) {
    forms.find(({ kind }) => kind === entry.kind).correct(entry, why);
  }
  return '';
}

async function withdraw(entry) {
  const why = await askWhy(`${inOwnUnits(entry.title)} was never to be written down`);
  const by = why ? await whoIsIt() : '';
  if (!by) {
    return '';
  }
  await askWith(path('work'), { id: newId(), by, kind: entry.kind, fields: entry.fields, corrects: entry.id, why, withdraws: true });
  await load();
  return 'Withdrawn; it stays readable.';
}

const forms = KINDS.map(([kind, title, fields]) => {
  const form = el('form', { novalidate: '', autocomplete: 'off' });
  const entry = entryForm(form, [[title, fields]], () => {
    id = newId(); // what is changed is another entry
  });
  const correcting = el('p', { class: 'trouble', role: 'status', hidden: '' });
  let id = newId();
  let wrong;
  const start = (corrected, why) => {
    id = newId();
    wrong = corrected && { corrects: corrected.id, why };
    entry.fill({});
    say(correcting, corrected ? `This puts right: ${inOwnUnits(corrected.title)} (${why}). Both stay readable.` : '');
    show(correcting, corrected !== undefined);
    show(clear, corrected !== undefined);
  };
  const clear = el('button', { type: 'button', hidden: '' }, 'Leave it as it was');
  clear.addEventListener('click', () => start());
  form.append(...(CAUTIONS[kind] ? [el('p', { class: 'caution' }, CAUTIONS[kind])] : []),
    el('div', { class: 'row' }, button('Keep', async () => {
      const by = await whoIsIt();
      if (!by) {
        return '';
      }
      const typed = entry.read();
      if (kind === 'moved') {
        typed.toName = nameOf(typed.to);
      }
      await askWith(path('work'), { id, by, kind, fields: typed, ...wrong });
      start();
      await load();
      return `${nameOf(chosen)}: kept.`;
    }), clear));
  const part = el('details', { 'data-kind': kind }, el('summary', {}, title), correcting, form);
  return {
    kind, entry, part,
    leave: () => wrong && start(),
    correct: (corrected, why) => {
      start(corrected, why);
      entry.fill(corrected.fields);
      part.open = true;
      part.scrollIntoView();
    },
  };
});
byId('forms').append(...forms.map(({ part }) => part));
byId('which').addEventListener('change', () => choose(byId('which').value));

const salt = entryForm(byId('salt'), [['Salt', [plain('targetGPerL', 'Wanted, g/L', 'number'), plain('litres', 'Water, if not all of it', 'volume')]]]);
const OF = [['ammonia', 'Ammonia, all of it'], ['carbon-dioxide', 'Carbon dioxide'], ['salt', 'Salt']];
const change = entryForm(byId('change'), [['Water change', [
  { name: 'of', label: 'To bring down', is: 'choice', choices: () => OF, blank: 'ammonia' },
  plain('target', 'To, mg/L (salt: g/L)', 'number'), plain('fresh', 'The fresh water holds', 'number')]]]);
const topUp = entryForm(byId('top-up'), [['Top-up', [plain('litres', 'Missing', 'volume'), plain('cm', 'Or gone down by, cm', 'number'),
  { ...lost(), blank: 'it evaporated' }, plain('targetGPerL', 'Salt wanted, g/L', 'number')]]]);
const missing = () => {
  const asked = topUp.read();
  if (asked.litres === undefined && asked.cm === undefined) {
    throw new Error('Say how much water is missing, or how far it has gone down.');
  }
  return asked;
};
for (const [id, form, address, words] of [['dose', salt, 'salt', doseWords], ['litres', change, 'water-change', changeWords], ['fill', { read: missing }, 'top-up', topUpWords]]) {
  byId(id).addEventListener('click', () => acting(byId(id), async () => {
    const answer = await ask(`${path(address)}?${new URLSearchParams(form.read())}`);
    const part = tanks.find(({ tank }) => tank === chosen);
    byId('answer').replaceChildren(...paragraphs([...words(answer), ...startWords(part, answer.of ?? 'salt')]));
  }));
}

setInterval(() => load().catch(() => {}), REFRESH);
begin((state) => {
  entitle('Holding tanks');
  document.querySelector('main').dataset.stale = String(sayOld(byId('old'), readAt, state, OLD_AFTER));
});
zoneKnown.then(load).catch((error) => {
  say(byId('trouble'), `Not read. ${error.message}`);
  show(byId('trouble'), true);
});
