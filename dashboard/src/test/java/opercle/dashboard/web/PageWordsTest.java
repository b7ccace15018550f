// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The pages' pure parts, each called in a browser as the pages call them. */
class PageWordsTest extends InTheBrowser {

  @BeforeAll
  static void open() {
    serve(FakeFarm.quiet());
    go("/not-taken");
  }

  @ParameterizedTest
  @CsvSource({
    "0, 0 min",
    "-3, 0 min",
    "0.4, < 1 min",
    "1, 1 min",
    "31.9, 31 min",
    "99.9, 99 min",
    "100, 1 h 40",
    "190.2, 3 h 10",
    "359.9, 5 h 59",
    "360, 6 h",
    "1439, 23 h",
    "1440, over a day"
  })
  void minutes_areCut_neverRoundedUp(String minutes, String words) {
    assertThat(module("words", "m.minutesWords(" + minutes + ")")).isEqualTo(words);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{is: 'holding'} | holding",
        "{is: 'minutes', likely: 12.9} | 12 min",
        "{is: 'unknown', why: 'no reading'} | not known",
        "undefined | not known"
      })
  void timeInHand_isSaid_alsoWhenNotKnown(String hand, String words) {
    assertThat(module("words", "m.handWords(" + hand + ")")).isEqualTo(words);
  }

  @ParameterizedTest
  @CsvSource({
    "-0.12, falling 1.2 in 10 min",
    "0.03, rising 0.3 in 10 min",
    "-0.004, steady",
    "undefined, ''"
  })
  void trend_isSaid_inWords(String slope, String words) {
    assertThat(module("words", "m.trendWords(" + slope + ")")).isEqualTo(words);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        // by alarm first, then least time in hand, then least if gas stops
        "t('a','none','holding'), t('b','high','holding'), t('c','none',9) | b c a",
        "t('a','low',3), t('b','medium',50), t('c','medium',40) | c b a",
        "t('a','none','holding',20), t('b','none','holding',10) | b a",
        "t('a','none','holding'), t('b','none','unknown') | b a",
        // hours in hand are no reason to stand above a tank that is lost sooner without gas
        "t('a','none','holding',90), t('b','none',30,20), t('c','none','unknown') | b c a",
        "t('a','none','holding',17), t('b','none',500,90) | a b"
      })
  void tanks_areSorted_worstFirst(String tanks, String order) {
    String script =
        """
        const hand = (h) => typeof h === 'number' ? {is: 'minutes', likely: h} : {is: h};
        const t = (name, priority, h, stops) => ({id: name, name, state: {
          timeInHand: hand(h), timeInHandIfGasStops: hand(stops ?? 'holding'),
          alarms: priority === 'none' ? [] : [{priority, state: 'unacknowledged'}]}});
        const m = await import('/assets/state.js');
        return m.worstFirst([%s]).map(tank => tank.name).join(' ');
        """;

    assertThat(browser.run(script.formatted(tanks))).isEqualTo(order);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{} | Not watched",
        "{time: 'x', alarms: []} | Not watched",
        "{time: 'x', newestReading: 'x', alarms: []} | No alarm",
        "{alarms: [{priority: 'high', state: 'unacknowledged'}]} | Act now"
      })
  void rank_ofATankNeverHeard_isNotThatThereIsNoAlarm(String state, String words) {
    assertThat(module("state", "m.rankWords({state: " + state + "})")).isEqualTo(words);
  }

  @ParameterizedTest
  @CsvSource({"high none, false", "none high, true", "medium low none none, false"})
  void order_isWrong_onceAnAlarmStandsBelowALesserOne(String priorities, boolean wrong) {
    String call =
        """
        m.isOutOfOrder('%s'.split(' ').map(priority => ({state: {
          alarms: priority === 'none' ? [] : [{priority, state: 'unacknowledged'}]}})))
        """;

    assertThat(module("state", call.formatted(priorities).strip())).isEqualTo(wrong);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "t('A','holding') | All tanks are holding",
        "t('A','holding'), t('B',500) | No alarms; 8 h or more in hand",
        "t('A','holding'), t('B','unknown') | Too little is known of B",
        "t('A','holding'), {...t('B','unknown'), loads: []} | All tanks are holding",
        "{...t('A'), state: {}}, {...t('B'), state: {}} | Too little is known of 2 tanks",
        "t('A','holding'), t('B','holding',a('low')) | When you can, look at B",
        "t('A','holding'), t('B','holding',a('high','returned-unacknowledged')) |"
            + " When you can, look at B",
        "t('A','unknown'), t('B','holding',a('medium')) | Go and look at B",
        "t('A','holding',a('high')), t('B','holding',a('medium')) | A needs you now",
        "t('A','holding',a('high','acknowledged')) | Somebody has A",
        "...[] | This farm has no tanks"
      })
  void summary_saysTheWorst_andNeverMoreThanIsKnown(String tanks, String words) {
    assertThat(summary(tanks, 0)).isEqualTo(words);
  }

  @Test
  void summary_withoutTheServer_doesNotReassure() {
    assertThat(summary("t('A','holding')", 1)).isEqualTo("Nothing is known now");
    assertThat(summary("t('A','holding',a('high'))", 1)).isEqualTo("A needs you now");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "t('A','holding') | 0 | No alarm stands",
        "t('A','holding') | 1 | Nothing is known now",
        "t('A','holding',a('low')) | 0 | One alarm stands",
        "t('A','holding',a('low')), t('B','holding',a('high')) | 1 | 2 alarms stood when last heard"
      })
  void standingAlarms_areCounted_andNoneOnlyWhileTheServerIsHeard(
      String tanks, int lostAt, String words) {
    assertThat(summary("standingWords", tanks, lostAt)).isEqualTo(words);
  }

  private static Object summary(String tanks, int lostAt) {
    return summary("summary", tanks, lostAt);
  }

  private static Object summary(String how, String tanks, int lostAt) {
    String script =
        """
        const a = (priority, state = 'unacknowledged') => [{priority, state, cause: 'x'}];
        const t = (name, h, alarms = []) => ({id: name, name, loads: [{kg: 1}], state: {
          time: '1970-01-01T00:00:01Z', newestReading: '1970-01-01T00:00:01Z', oxygenMgPerL: 9,
          timeInHand: typeof h === 'number' ? {is: 'minutes', likely: h} : {is: h}, alarms}});
        const m = await import('/assets/state.js');
        return m.%s(
          {...m.start(), version: '1', now: 1000, heardAt: 1000, lostAt: %d, tanks: [%s]}, 1000);
        """;
    return browser.run(script.formatted(how, lostAt, tanks));
  }

  @ParameterizedTest
  @CsvSource({
    "30, 30, 9, false",
    "90, 1, 9, false", // a probe that speaks every few minutes, and that the watch stands by
    "90, 1, undefined, true",
    "90, 90, 9, true", // the watch itself is silent
    "700, 1, 9, true"
  })
  void reading_isStale_onceTheWatchNoLongerStandsByIt(
      int reading, int watched, String oxygen, boolean stale) {
    String call =
        """
        m.isStale({now: 1e6, heardAt: 0}, {state: {time: new Date(1e6 - 1000 * %d),
          newestReading: new Date(1e6 - 1000 * %d), oxygenMgPerL: %s}}, 0)
        """;

    assertThat(module("state", call.formatted(watched, reading, oxygen).strip())).isEqualTo(stale);
  }

  @ParameterizedTest
  @CsvSource({"-0.02, 0.0 L/min", "2.46, 2.5 L/min", "45.2, 45 L/min", "undefined, not measured"})
  void flow_isSaid_withoutAMinusBeforeNought(String lPerMin, String words) {
    assertThat(module("words", "m.flowWords(" + lPerMin + ")")).isEqualTo(words);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "m.zoomed({from: 0, to: 1000}, 0.5, 0.5, 5000) | 250 750 false",
        "m.zoomed({from: 0, to: 200}, 0.1, 0, 5000) | 0 120 false",
        "m.zoomed({from: 0, to: 1000}, 2, 0.5, 1000) | -1000 1000 true",
        "m.moved({from: 0, to: 1000}, 0.5, 1200) | 200 1200 true",
        "m.moved({from: 0, to: 1000}, -0.5, 1200) | -500 500 false",
        "m.between(900, 300, 5000) | 300 900 false"
      })
  void span_neverLooksPastNow_norTooClose(String call, String expected) {
    String said = "(s => `${s.from} ${s.to} ${s.following}`)(" + call + ")";

    assertThat(module("span", said)).isEqualTo(expected);
  }

  @ParameterizedTest
  @CsvSource({"300, true", "60, false"})
  void traceWithASilence_isBroken(int silence, boolean broken) {
    String call =
        """
        m.columns({partSeconds: 10,
          probes: [{points: [[0, 1, 2, 3], [%d, 1, 2, 3]]}]})[3].includes(null)
        """;

    assertThat(module("trace-data", call.formatted(silence).strip())).isEqualTo(broken);
  }

  private static Object module(String name, String expression) {
    return browser.run(
        "const m = await import('/assets/%s.js'); return %s;".formatted(name, expression));
  }

  @ParameterizedTest
  @CsvSource({
    "200, Something else answers in place of the server.",
    "502, The server does not answer just now.",
    "500, 'The server could not do it, and does not say why.'"
  })
  void answerThatIsNotOurs_isSaidInPlainWords(int status, String words) {
    Object said =
        browser.run(
            """
            const m = await import('/assets/feed.js');
            const real = window.fetch;
            window.fetch = async () => new Response('<!doctype html>', { status: %d });
            try {
              await m.ask('/api/v1/tanks');
            } catch (error) {
              return error.message;
            } finally {
              window.fetch = real;
            }
            return 'taken';
            """
                .formatted(status));

    assertThat(said).asString().startsWith(words);
  }

  /** "Stale" and the age beside it are of the same probe. */
  @ParameterizedTest
  @CsvSource({
    "5, 5, newest reading 5 s ago, false",
    "700, 5, oxygen last read 11 min ago, true",
    "700, 700, oxygen last read 11 min ago, true"
  })
  void age_isOfTheProbeThatIsStale(int oxygen, int newest, String words, boolean stale) {
    String call =
        """
        (({ words, stale }) => `${words}, ${stale}`)(m.heardOf({ now: 1e6, heardAt: 0 }, { state: {
          time: new Date(1e6), newestReading: new Date(1e6 - 1000 * %d), oxygenMgPerL: 9,
          origins: { oxygen: { time: new Date(1e6 - 1000 * %d) } } } }, 0))
        """;
    assertThat(module("whence", call.formatted(newest, oxygen).strip()))
        .isEqualTo(words + ", " + stale);
  }
}
