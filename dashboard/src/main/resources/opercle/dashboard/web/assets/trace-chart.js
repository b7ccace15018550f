// SPDX-License-Identifier: Apache-2.0
// One trace of a tank: a band from smallest to largest reading, the average, and lines to measure it by.

import uPlot from '/charts/uPlot.esm.js';
import { el, say } from './dom.js';
import { fingers, keys } from './gestures.js';
import { dashOf, probeLegend } from './probe-legend.js';
import { between } from './span.js';
import { columns, extremes, grow } from './trace-data.js';
import { beside, coveredBy, linesOf, placer, shiftOf, viewOf, writeAt } from './trace-labels.js';
import {
  besideForecast, drawAlarms, drawEvents, drawForecast, forecastLines, nameAlarms, nameEvents,
} from './trace-marks.js';
import { readWords } from './trace-point.js';
import { clockWords, dayWords, farmZone } from './words.js';

const NEAR = matchMedia('(pointer: coarse)').matches ? 24 : 12; // px: what is marked so near is pointed at
const APART = 1.5; // px: by less than this words beside a line may be off; they keep two from it
const SETTLE = 200; // ms after which a chart that was moved by hand has come to rest
const LESS_THAN_A_DAY = 82_000; // s: the day on which the clocks go forward has 23 h
const HELP = 'Arrow keys move, with shift they read along the trace; plus and minus zoom, 0 goes back.';
const AWAY = { left: -10, top: -10 };
const STRIDES = 48; // of reading along a trace by keys

/**
 * @param what title, unit, decimals, height, floors() ({value, words}[]), fromZero, leastSpan,
 *   alarms() ({ from, to, worst, words }[]), events() ({ at, words }[]), forecast() (forecast.js), if any
 * @param stretch of all traces of a page: span(), ahead() (seconds shown beyond the span's end), now(), onSpan(span),
 *   onReset(), marked (the second of the mark that was gone to, until somebody points elsewhere)
 */
export function traceChart(what, stretch) {
  const readout = el('p', { class: 'readout quiet' });
  const surface = el('div', { class: 'surface' });
  const key = el('p', { class: 'quiet' });
  const legend = probeLegend();
  const root = el('figure', { class: 'chart' },
    el('figcaption', {}, el('h3', {}, what.title), readout), surface, legend.root, key);
  let answer;
  let data;
  let chart;
  let quick = 0; // how often the view moved in a row, each soon after the last
  let drawn = 0;
  let labels; // the words that were found room for, and in which view of which answer
  let seen; // the view at the last drawing
  let resting;

  surface.tabIndex = 0;
  surface.setAttribute('role', 'group');
  surface.setAttribute('aria-label', `Trace: ${what.title}. ${HELP}`);
  keys(surface, stretch, (way) => chart && readAlong(way));

  /** Moves the pointer that a mouse would, and has what it comes to read out. */
  function readAlong(way) {
    stretch.marked = undefined;
    const { width, height } = chart.over.getBoundingClientRect();
    const { left } = chart.cursor;
    const newest = Math.min(width, chart.valToPos(data[0].at(-1), 'x'));
    const next = left >= 0 ? left + way * width / STRIDES : way > 0 ? 0 : newest;
    readout.ariaLive = way === 0 ? 'off' : 'polite';
    chart.setCursor(way === 0 || data[0].length === 0 ? AWAY
      : { left: Math.min(newest, Math.max(0, next)), top: height / 2 });
  }

  function build() {
    chart?.destroy();
    labels = undefined;
    chart = new uPlot(options(), data, surface);
    fingers(chart.over, stretch);
    chart.over.addEventListener('dblclick', stretch.onReset);
    for (const kind of ['pointerdown', 'pointermove']) {
      chart.over.addEventListener(kind, () => { stretch.marked = undefined; });
    }
  }

  function options() {
    const style = getComputedStyle(document.documentElement);
    const colour = (name) => style.getPropertyValue(name).trim();
    const [ink, quiet, line, water] = ['--ink', '--quiet', '--line', '--water'].map(colour);
    const font = '13px system-ui, "Liberation Sans", sans-serif';
    const axis = { stroke: quiet, font, grid: { stroke: line, width: 0.6 }, ticks: { show: false } };
    const probes = answer.probes.flatMap((probe, i) => [
      { label: 'least', points: { show: false }, width: 0 },
      { label: 'most', points: { show: false }, width: 0 },
      { label: probe.probe, stroke: water, width: 1.8, dash: dashOf(i), points: { size: 4 } },
    ]);
    const saturation = answer.saturation
      ? [{ label: 'saturated', stroke: quiet, width: 1.3, dash: [2, 4], points: { show: false } }] : [];
    return {
      width: Math.max(200, surface.clientWidth),
      height: what.height,
      legend: { show: false },
      tzDate: (second) => uPlot.tzDate(new Date(second * 1000), farmZone()), // the farm's midnights
      cursor: {
        sync: { key: 'tank' },
        drag: { x: true, y: false, setScale: false },
        points: { show: false },
      },
      scales: {
        x: { time: true, range: () => [stretch.span().from, stretch.span().to + stretch.ahead()] },
        y: { range: (_, low, high) => reach(low, high) },
      },
      axes: [{ ...axis, values: hours, space: 64, size: 30 }, { ...axis, size: 44 }],
      series: [{}, ...probes, ...saturation],
      bands: answer.probes.map((_, i) => ({ series: [3 * i + 2, 3 * i + 1], fill: `${water}40` })),
      hooks: {
        draw: [
          (u) => drawForecast(u, what.forecast?.(), { ink, quiet }),
          (u) => drawFloors(u, ink),
          (u) => drawEvents(u, what.events(), quiet),
          (u) => drawAlarms(u, what.alarms(), stretch.now(), ink),
          (u) => what.marksWords && name(u, { ink, quiet, font }),
        ],
        setCursor: [(u) => read(u)],
        setSelect: [(u) => select(u)],
      },
    };
  }

  function reach(low, high) {
    const floors = what.floors().map((floor) => floor.value);
    const [least, most] = [Math.min(low ?? 0, ...floors), Math.max(high ?? 1, ...floors)];
    const room = Math.max(what.leastSpan - (most - least), 0.12 * (most - least)) / 2;
    return [what.fromZero ? 0 : least - room, most + room];
  }

  function drawFloors(u, ink) {
    const { ctx, bbox } = u;
    ctx.save();
    const ratio = devicePixelRatio;
    what.floors().forEach((floor, i) => {
      const y = u.valToPos(floor.value, 'y', true);
      ctx.strokeStyle = ink;
      ctx.lineWidth = (i === 0 ? 1.2 : 2) * ratio;
      ctx.setLineDash(i === 0 ? [6 * ratio, 4 * ratio] : []);
      ctx.beginPath();
      ctx.moveTo(bbox.left, y);
      ctx.lineTo(bbox.left + bbox.width, y);
      ctx.stroke();
    });
    ctx.restore();
  }

  /**
   * Words for the lines. Room for them is looked for once a view has come to rest, not at each
   * drawing: under a finger they are away, and where time goes along they stay where they are until
   * the lines have gone a little.
   */
  function name(u, style) {
    const view = viewOf(u);
    const moved = seen && shiftOf(seen, view) > APART && Number.isFinite(shiftOf(seen, view));
    const now = performance.now();
    quick = moved && now - drawn < SETTLE ? quick + 1 : 0; // time that goes along moves it once a second
    const jumped = quick > 1;
    [seen, drawn] = [view, now];
    if (jumped) {
      labels = undefined;
      clearTimeout(resting);
      resting = setTimeout(() => {
        resting = undefined;
        chart?.redraw(false);
      }, SETTLE);
    }
    if (jumped || resting !== undefined && labels === undefined) {
      return;
    }
    if (labels?.answer !== answer || !(shiftOf(labels.view, view) <= APART) || coveredBy(newLines(u), labels.found)) {
      labels = { answer, view, until: u.data[0].length, found: room(u, style) };
    }
    writeAt(u, labels.found);
  }

  /** What was drawn since room was looked for: the forecast, which turns each second, and the newest readings. */
  function newLines(u) {
    const expected = what.forecast?.();
    const from = Math.max(0, labels.until - 1);
    const newest = u.data.slice(1).map((ys) => u.data[0].slice(from).map((x, i) =>
      [u.valToPos(x, 'x', true), (ys[from + i] ?? null) === null ? null : u.valToPos(ys[from + i], 'y', true)]));
    return [...(expected ? forecastLines(u, expected) : []), ...newest];
  }

  /** Where words cover no line; what finds no room is said under the trace. */
  function room(u, { ink, quiet, font }) {
    const { left, width } = u.bbox;
    const right = left + width;
    const { bands, series } = linesOf(u, answer.probes.length);
    const floors = what.floors().map(({ value, words }) => {
      const y = u.valToPos(value, 'y', true);
      return { words, line: [[left, y], [right, y]] };
    });
    const expected = what.forecast?.();
    const ways = expected ? forecastLines(u, expected) : [];
    const { place, found } = placer(u, [...bands, ...series, ...ways, ...floors.map(({ line }) => line)], font);
    const flat = ([[x, y], [end]]) => Array.from({ length: 65 }, (_, i) => [x + (end - x) * i / 64, y]);
    const named = [
      ...floors.map(({ words, line }, i) => ({
        words, is: i === 0 ? 'Dashed' : 'Solid', size: 13, colour: ink, places: beside(flat(line), { left, right }) })),
      ...(ways.length > 0 ? [{
        words: 'if it goes on so', is: 'Short dashes', size: 12, colour: ink, places: besideForecast(u, ways) }] : []),
      ...(answer.saturation?.length > 0 ? [{
        words: 'saturated', is: 'Dotted', size: 13, colour: quiet, places: beside(series.at(-1), { left, right }) }] : []),
    ];
    const unplaced = named.filter(({ words, ...how }) => !place(words, how));
    say(key, unplaced.map(({ words, is }) => `${is}: ${words}.`).join(' '));
    nameAlarms(u, what.alarms(), place, ink);
    nameEvents(u, what.events(), place, quiet);
    return found;
  }

  function read(u) {
    const { idx, left } = u.cursor;
    if (left === undefined || left < 0) {
      say(readout, overview());
      return;
    }
    const second = u.posToVal(left, 'x');
    const [seconds] = u.data;
    const isIn = (i) => seconds[i] <= second && second < seconds[i] + answer.partSeconds;
    const at = isIn(idx - 1) ? idx - 1 : idx; // the nearest one may begin only after it
    const newest = answer.probes.map((_, i) => [1, 2, 3].map((column) => u.data[3 * i + column][at]));
    const isNear = (at) => Math.abs(u.valToPos(at, 'x') - left) <= NEAR;
    const there = what.alarms()
      .filter(({ from, to }) => isNear(from) || from <= second && (to ?? Infinity) >= second)
      .concat(what.events().filter((event) => isNear(event.at)));
    say(readout, [readWords(answer, second, seconds[at], newest, what), ...there.map(({ words }) => words)].join(' · '));
  }

  /** Points at the mark that was gone to, wherever it lies by now. */
  function pointAtMark() {
    if (chart && stretch.marked !== undefined) {
      chart.setCursor({ left: chart.valToPos(stretch.marked, 'x'), top: chart.over.clientHeight / 2 }, true, false);
    }
  }

  function overview() {
    const found = extremes(answer);
    if (!found) {
      return 'Nothing was measured in this time.';
    }
    const told = (value, at) => `${value.toFixed(what.decimals)} at ${clockWords(at * 1000)}`;
    return `Lowest ${told(found.lowest, found.lowestAt)}, highest ${told(found.highest, found.highestAt)}`;
  }

  function select(u) {
    const { left, width } = u.select;
    if (width > 8) {
      stretch.onSpan(between(u.posToVal(left, 'x'), u.posToVal(left + width, 'x'), stretch.now()));
    }
    u.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
  }

  new ResizeObserver(() => {
    chart?.setSize({ width: Math.max(200, surface.clientWidth), height: what.height });
  }).observe(surface);
  new MutationObserver(() => answer && build())
    .observe(document.documentElement, { attributeFilter: ['data-light'] });

  return {
    root,
    answer: () => answer,
    /** Shows what the server answered. */
    take(newAnswer) {
      const same = chart && answer.probes.length === newAnswer.probes.length;
      answer = newAnswer;
      data = columns(answer);
      legend.draw(answer.probes);
      if (same) {
        chart.setData(data);
      } else {
        build();
      }
      pointAtMark();
      read(chart);
    },
    /** Adds what the probe said just now, and draws; with several probes the next answer brings it. */
    push(second, value) {
      if (chart && answer.probes.length === 1) {
        grow(data, answer, second, value);
      }
      chart?.setData(data);
      pointAtMark();
    },
    /** Draws the present span with what there is. */
    stretch() {
      chart?.setData(data);
      pointAtMark();
    },
    /** Goes to a second, as a pointer does. */
    point(second) {
      stretch.marked = second;
      pointAtMark();
    },
  };
}

/** Clock along the foot; the day where one begins, and where each mark is of another day. */
function hours(u, splits) {
  return splits.map((second, i) => {
    const clock = clockWords(second * 1000);
    const isDays = splits.length > 1 && Math.abs(splits[i] - splits[i === 0 ? 1 : i - 1]) > LESS_THAN_A_DAY;
    return isDays || clock === '00:00' && second % 60 === 0 ? dayWords(second * 1000) : clock;
  });
}
