// SPDX-License-Identifier: Apache-2.0
// What a plan says: the verdict, the figures that matter at the tank, and the reason behind each.

import { el, keyed, onPointing, renew, say, show } from './dom.js';
import { estimateWords, planOrigins } from './plan-origins.js';
import { courses, courseTable } from './plan-course.js';
import { amount, densityWords, inOwnUnits, sensible, shownDifference, unitOf } from './units.js';
import { wherePart } from './whence.js';
import { minutesWords } from './words.js';

const byId = (id) => document.getElementById(id);

/** Word and mark of each verdict: told apart without colour. */
export const VERDICTS = {
  'go': { mark: '✓', words: 'Go' },
  'go-with-care': { mark: '◆', words: 'Go with care' },
  'do-not-go': { mark: '✕', words: 'Do not go' },
};

const minutes = (value) => (value === null ? 'no end' : minutesWords(value));
const litres = (value) => (value === null ? 'none is enough' : `${value.toFixed(1)} L/min`);

/** The shortest time in hand were the gas to stop somewhere on the way. */
function shortest(plan) {
  const ends = [plan.timeInHandIfGasStopsMinutes, plan.timeInHandIfGasStopsAfterAnHourMinutes,
    plan.timeInHandIfGasStopsAtTheEndMinutes];
  const size = ({ likely }) => likely ?? Infinity;
  return ends.reduce((least, band) => (size(band) < size(least) ? band : least));
}

export function headline(plan) {
  const { low, likely } = shortest(plan);
  return `If gas stops: ${minutes(likely)} in hand, ${minutes(low)} at the least.`;
}

/** The large figures: name of the estimate, title, figure, more words. */
function stats(plan) {
  const stops = shortest(plan);
  const lasts = plan.enduranceMinutes;
  const { largestGoKg: go, largestWithCareKg: care } = plan;
  const set = plan.request.flowLPerMin;
  return [
    ['If gas stops', 'If gas stops', minutes(stops.likely), `${minutes(stops.low)} at the least`],
    set === null
      ? ['Gas', 'Set the gas to', litres(plan.flowNowLPerMin.likely),
        `then ${litres(plan.flowAfterAnHourLPerMin.likely)}; at 15 °C`]
      : ['Gas', 'Gas needed', litres(plan.flowNowLPerMin.likely), `you set ${litres(set)}; at 15 °C`],
    ['Cylinder', 'Cylinder lasts', lasts ? minutes(lasts.likely) : 'not asked', lasts ? `${minutes(lasts.low)} at the least` : ''],
    ['Largest load', 'Largest load', go === null ? 'none' : amount('mass', Math.floor(go), 0),
      care === null ? '' : `with care ${amount('mass', Math.floor(care), 0)}`],
  ];
}

const where = wherePart();
byId('stats').after(where.root);
let shown; // the plan that is drawn

/**
 * @param at when it was worked out, ms
 * @param filled where the form was filled in from, in a sentence
 */
export function drawAnswer(plan, at, filled) {
  shown = plan;
  const { mark, words } = VERDICTS[plan.verdict];
  byId('verdict').dataset.verdict = plan.verdict;
  say(byId('verdict'), `${mark} ${words}`);
  say(byId('headline'), headline(plan));
  keyed(byId('stats'), stats(plan), ([, title]) => title, figurePart,
    (node, [, , big, small]) => {
      say(node.children[1], big);
      say(node.children[2], small);
    });
  where.draw('this plan', () => planOrigins(plan, at, filled));
  keyed(byId('reasons'), plan.reasons, ({ topic }) => topic, reasonPart, drawReason);
  list(byId('remedies'), plan.remedies.map(({ sentence, verdict }) => `${capital(sentence)}. Then: ${VERDICTS[verdict].words.toLowerCase()}.`));
  show(byId('remedies-part'), plan.remedies.length > 0);
  list(byId('cautions'), plan.cautions);
  list(byId('notes'), plan.notes);
  renew(byId('courses'), courses(plan));
  renew(byId('table-place'), [courseTable(plan)]);
}

function figurePart([name, title]) {
  const part = el('div', {}, el('dt', {}, title), el('dd', { class: 'big' }), el('dd', { class: 'small' }));
  onPointing(part, () => estimateWords(shown, name));
  return part;
}

const capital = (words) => words.replace(/^./, (first) => first.toUpperCase());

const list = (node, sentences) => renew(node, sentences.map((words) => el('li', {}, inOwnUnits(words))));

function reasonPart() {
  return el('details', { class: 'reason' },
    el('summary', {}, el('span', {}), el('span', {}), el('span', {})),
    el('div', {}, el('p', {}), el('p', { class: 'quiet' })));
}

function drawReason(part, { topic, verdict, value, limit, unit, source, confidence, sentence }) {
  const [mark, title, figure] = part.firstChild.children;
  const [words, from] = part.lastChild.children;
  part.dataset.verdict = verdict;
  mark.setAttribute('role', 'img');
  mark.setAttribute('aria-label', VERDICTS[verdict].words);
  say(mark, VERDICTS[verdict].mark);
  say(title, topicWords(topic));
  say(figure, value ? inUnit(value.likely, unit, topic) : '');
  say(words, inOwnUnits(sentence));
  say(from, `Held against ${inUnit(limit, unit, topic)}. ${source} (${confidence}).`);
}

/** What a line under Why is about; "supersaturation" says nothing to most. */
const TOPICS = { density: 'How full the tank is', supersaturation: 'Too much oxygen' };
const topicWords = (topic) => TOPICS[topic] ?? capital(topic.replaceAll('-', ' '));

/** Units as people say them. */
const UNIT_WORDS = { '%': '% of what air gives' };

const OWN_KINDS = { 'kg': 'mass', '°C': 'temperature' };

function inUnit(value, unit, topic) {
  if (value === null) {
    return 'no end';
  }
  const kind = OWN_KINDS[unit];
  if (kind) {
    return topic === 'warming'
      ? `${sensible(shownDifference(kind, value))} ${unitOf(kind)}` : amount(kind, value);
  }
  if (unit === 'kg/L') {
    return densityWords(1000 * value);
  }
  return unit === 'min' ? minutesWords(value) : `${sensible(value)} ${UNIT_WORDS[unit] ?? unit}`;
}
