// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The pages' pure parts, each called in a browser as the pages call them. */
class PageWordsTest {

  private static Browser browser;
  private static DashboardServer server;

  @BeforeAll
  static void open() {
    server =
        DashboardServer.start(DashboardSettings.onLoopback(0), FakeFarm.quiet(), new FakeTraces());
    browser = Browser.open();
    browser.go("http://127.0.0.1:" + server.port() + "/not-taken");
  }

  @AfterAll
  static void close() {
    browser.close();
    server.close();
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
    "1439, 23 h 59",
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
        "t('a','none','holding'), t('b','none','unknown') | b a"
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
        m.columns({from: '2026-03-14T00:00:00Z', to: '2026-03-14T00:10:00Z',
          probes: [{points: [[0, 1, 2, 3], [%d, 1, 2, 3]]}]}, 60)[3].includes(null)
        """;

    assertThat(module("trace-data", call.formatted(silence).strip())).isEqualTo(broken);
  }

  private static Object module(String name, String expression) {
    return browser.run(
        "const m = await import('/assets/%s.js'); return %s;".formatted(name, expression));
  }
}
