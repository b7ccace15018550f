// SPDX-License-Identifier: Apache-2.0
// Ties feed and state together for a page, and draws what every page has: farm, clock, loss, light.

import { remember } from './device.js';
import { el, say, show } from './dom.js';
import { ask, listen } from './feed.js';
import {
  described, farmTime, heard, lost, missed, needsDescription, raised, start, urgent,
} from './state.js';
import { lookAgain } from './session.js';
import { beginSound, followSound } from './sound.js';
import { ageWords, causeWords, clockWords, inFarmTime, RANKS } from './words.js';

const NOTE_EVERY = 5000;

const back = el('p', { class: 'came-back', role: 'status', hidden: '' });
let restarted = false;
let state = start();
let asking = false;
let noted = 0;
let draw = () => {};

export const current = () => state;

/** What the keeper calls a tank. */
export const nameOf = (id) =>
  state.tanks.find((tank) => tank.id === id)?.name ?? 'A tank no longer in the farm';

/** Changes the state, for instance `change(recalled, answer)`. */
export function change(step, ...rest) {
  state = step(state, ...rest);
}

/**
 * Starts; `drawPage(state, at)` is called once a second and at every event.
 *
 * @param isElsewhere which tanks this page does not show: their alarms are said at its top
 * @param follow what makes the sounds
 */
export function begin(drawPage, isElsewhere = () => false, follow = followSound) {
  beginSound();
  document.getElementById('lost').after(back);
  if (location.pathname !== '/monitor') { // where each trouble stands with what to do about it
    document.getElementById('unwell').append(
      el('nav', { 'aria-label': 'The monitor' }, el('a', { href: '/monitor' }, 'What to do')));
  }
  draw = () => {
    const at = Date.now();
    frame(at);
    follow(state, at);
    sayElsewhere(urgent(state.tanks.filter(isElsewhere)));
    drawPage(state, at);
  };
  describe();
  listen(
    (event) => {
      const before = state;
      state = heard(state, event, Date.now());
      reached(state.heardAt);
      if (needsDescription(state, event)) {
        describe();
      }
      readOut(before);
      draw();
    },
    () => {
      if (!state.lostAt) {
        lookAgain();
      }
      state = lost(state, Date.now());
      draw();
    },
    ({ is }) => {
      restarted = is === 'restarted';
    },
  );
  setInterval(draw, 1000); // values age by themselves when nothing comes
}

/** Keeps when the server was last reached, and the page that says so when it cannot be. */
function reached(at) {
  if (at - noted > NOTE_EVERY) {
    if (noted === 0 && 'serviceWorker' in navigator) {
      navigator.serviceWorker.register('/sw.js').catch(() => {}); // without it the browser says so
    }
    noted = at;
    remember('reached', String(at));
  }
}

async function describe() {
  if (asking) {
    return;
  }
  asking = true;
  try {
    const answer = await ask('/api/v1/tanks'); // first: the state may change while we wait
    change(described, answer, Date.now());
    remember('zone', answer.zone); // for the page that is shown when the server cannot be reached
    draw();
  } catch {
    // the live stream says whether the server is there; the next event asks again
  } finally {
    asking = false;
  }
}

function frame(at) {
  say(document.getElementById('farm'), state.farm || 'Opercle');
  say(document.getElementById('clock'), state.now ? clockWords(farmTime(state, at)) : '');
  const count = document.getElementById('not-taken-count');
  say(count, state.notTaken ? String(state.notTaken) : '');
  show(count, state.notTaken > 0);
  const notice = document.getElementById('lost');
  if (state.lostAt) {
    say(document.getElementById('lost-since'), state.heardAt ? `Last heard ${ageWords((at - state.heardAt) / 1000)}.` : '');
  }
  // Said once, aloud too; the running seconds stand apart so that they are not read out.
  say(document.getElementById('lost-words'), state.lostAt ? 'No connection. These figures are old: look at the tanks.' : '');
  show(notice, state.lostAt > 0);
  const gap = missed(state, at);
  say(back, gap ? `${restarted ? 'The server was started anew.' : 'The server is back.'} Nothing was heard here from ${clockWords(gap.from)} to ${clockWords(gap.to)}: what the tanks did meanwhile is in their traces and under Alarms.` : '');
  show(back, gap !== undefined);
  say(document.getElementById('unwell-words'), inFarmTime(state.troubles.join(' ')));
  show(document.getElementById('unwell'), state.troubles.length > 0);
  document.body.dataset.lost = String(state.lostAt > 0);
}

/** Names the page in its tab, which may be all that is seen of it. */
export function entitle(words) {
  const lostWords = state.lostAt ? 'No connection · ' : '';
  document.title = `${lostWords}${words}${state.farm ? ` · ${state.farm}` : ''}`;
}

/** A page about one thing must not hide that another tank needs somebody. */
function sayElsewhere(news) {
  const notice = document.getElementById('elsewhere');
  if (notice) {
    notice.dataset.rank = news?.rank ?? 'none';
    say(notice.firstElementChild, news?.words ?? '');
    notice.firstElementChild.href =
      news?.tanks.length === 1 ? `/tank/${encodeURIComponent(news.tanks[0].id)}` : '/';
    show(notice, news !== undefined);
  }
}

function readOut(before) {
  const news = raised(before, state);
  if (news.length > 0) {
    say(document.getElementById('spoken'), news
      .map(({ tank, alarm }) =>
        `${RANKS[alarm.priority].word}. ${tank.name}: ${causeWords(alarm.cause)}.`)
      .join(' '));
  }
}

const night = document.getElementById('night');
const isNight = () => document.documentElement.dataset.light === 'night';
const drawNight = () => say(night, isNight() ? 'Day' : 'Night'); // what a press changes to
night.addEventListener('click', () => {
  const light = isNight() ? 'day' : 'night';
  document.documentElement.dataset.light = light;
  try {
    localStorage.setItem('opercle-light', light);
  } catch {
    // storage is switched off: it holds for this page only
  }
});
new MutationObserver(drawNight).observe(document.documentElement, { attributeFilter: ['data-light'] });
drawNight();
