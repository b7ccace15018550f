// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What the pages make of what they are told, each part called in a browser as the pages call it.
 */
class PageDataTest extends InTheBrowser {

  @BeforeAll
  static void open() {
    serve(FakeFarm.quiet());
    go("/not-taken");
  }

  /** Seconds since each was read, since the watch spoke, and what is stale then. */
  @ParameterizedTest
  @CsvSource(
      value = {
        "1, 1, 1, 1, ''",
        "1, 90, 1, 1, ''", // a slow thermometer that the watch stands by
        "1, 700, 1, 1, temperature",
        "700, 1, 1, 1, oxygen",
        "1, 1, 601, 1, gasFlow",
        "59, 61, 59, 61, temperature", // the watch is silent: each by its own age
        "61, 59, 61, 61, oxygen gasFlow",
      })
  void value_isStale_byItsOwnReadingAlone(
      int oxygen, int temperature, int flow, int watched, String stale) {
    String script =
        """
        const m = await import('/assets/state.js');
        const ago = (s) => new Date(1e6 - 1000 * s).toISOString();
        const tank = {state: {time: ago(%d), newestReading: ago(%d),
          oxygenMgPerL: 9, temperatureC: 12, gasFlowLPerMin: 45,
          origins: {oxygen: {time: ago(%d)}, temperature: {time: ago(%d)}, gasFlow: {time: ago(%d)}}}};
        return ['oxygen', 'temperature', 'gasFlow']
          .filter(what => m.valueOf({now: 1e6, heardAt: 0}, tank, what, 0).stale).join(' ');
        """;
    int newest = Math.min(oxygen, Math.min(temperature, flow));

    assertThat(browser.run(script.formatted(watched, newest, oxygen, temperature, flow)))
        .isEqualTo(stale);
  }

  @Test
  void lastHour_growsByReadings_notByTheClock() {
    String script =
        """
        const m = await import('/assets/state.js');
        const at = (s) => new Date(1000 * s).toISOString();
        const event = (now, read, oxygenMgPerL) => ({now: at(now), troubles: [], tanks: {h1: {time: at(now),
          oxygenMgPerL, origins: read === undefined ? {} : {oxygen: {probe: '1', time: at(read)}}}}});
        let state = {...m.start(), hours: {h1: [[1000, 9]]}};
        for (const [now, read, oxygen] of [[1010, 1009, 9], [1030, 1029, 8.9], [1060, 1029, 8.9],
            [1300, 1029, 8.9], [1310, undefined, 8.9], [1320, 1029, undefined], [1321, 1321, 8.2]]) {
          state = m.heard(state, event(now, read, oxygen), 0);
        }
        return JSON.stringify(state.hours.h1);
        """;

    assertThat(browser.run(script)).isEqualTo("[[1000,9],[1029,8.9],[1321,8.2]]");
  }

  @ParameterizedTest
  @CsvSource({"60, 2", "121, 3"})
  void trace_isBroken_whereNothingWasRead_alsoByWhatComesLive(int seconds, int rows) {
    String script =
        """
        const m = await import('/assets/trace-data.js');
        const answer = {partSeconds: 10, probes: [{points: [[0, 9, 9, 9]]}], saturation: [[0, 11]]};
        const data = m.columns(answer);
        m.grow(data, answer, %d, 8);
        m.grow(data, answer, %d, 7); // the same reading again
        return data.map(column => column.length).join(' ') + (data[1].includes(null) ? ' broken' : '');
        """;

    assertThat(browser.run(script.formatted(seconds, seconds)))
        .isEqualTo("%d ".formatted(rows).repeat(5).strip() + (rows == 3 ? " broken" : ""));
  }

  /** A box of 10 by 10 at 0, 0, and one at 20, 0; lines and words that may stand in their way. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "[] | [] | 0",
        "[[[-5, 5], [15, 5]]] | [] | 20", // through it, with no point within it
        "[[[-5, -5], [15, 15]]] | [] | 20",
        "[[[-5, 10], [40, 10]]] | [] | 0", // along its foot
        "[[[5, -5], [5, 15]]] | [] | 20",
        "[[[-5, 5], [-5, null], [15, 5]]] | [] | 0", // the line is broken there
        "[[[-5, 5], [40, 5]]] | [] | none",
        "[] | [{left: 5, right: 25, top: 5, bottom: 6}] | none",
        "[] | [{left: 5, right: 15, top: 5, bottom: 6}] | 20",
      })
  void words_areSetWhereNoLineRuns(String lines, String taken, String left) {
    String script =
        """
        const m = await import('/assets/trace-labels.js');
        const box = (left) => ({left, right: left + 10, top: 0, bottom: 10});
        const within = {left: 0, right: 100, top: 0, bottom: 100};
        const lines = %s;
        const found = m.freeOf([box(-1), box(0), box(20)], within, lines, %s);
        return found ? String(found.left) : 'none';
        """;

    assertThat(browser.run(script.formatted(lines, taken))).isEqualTo(left);
  }

  @Test
  void past_hasNoHole_whereMoreCameThanAPage_norWhereAPageFailed() {
    String script =
        """
        const m = await import('/assets/past.js');
        const events = []; // the newest first, one a second
        const add = (from, to) => { for (let s = from; s < to; s++) {
          events.unshift({tank: 'h1', cause: 'x', since: s, time: new Date(1000 * s).toISOString(), event: 'raised'}); } };
        let fail = 0;
        const page = async ({from, to, before}) => {
          if (before !== undefined && fail-- > 0) throw new Error('cut');
          const found = events.filter(e => e.time >= from && e.time < to && (before === undefined || e.since < before));
          const some = found.slice(0, 10);
          return {from, to, events: some, verdicts: [], missing: [], ...(found.length > 10 && {next: some[9].since})};
        };
        const known = m.past(page);
        const seen = () => known.events().map(e => e.since).sort((a, b) => a - b);
        const said = [];
        const tell = () => said.push(`${seen()[0]}-${seen().at(-1)}:${seen().length}`);
        add(0, 25);
        await known.refresh(30_000); tell();
        await known.earlier(); tell();
        add(25, 60);
        fail = 1;
        await known.refresh(60_000).catch(() => said.push('failed'));
        await known.refresh(60_000); tell();
        await known.earlier(); tell();
        return said.join(' ');
        """;

    assertThat(browser.run(script)).isEqualTo("15-24:10 5-24:20 failed 5-59:55 0-59:60");
  }
}
