// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What must sound and be spoken, decided in the pages' pure parts. */
class SoundPlanTest extends InTheBrowser {

  @BeforeAll
  static void open() {
    serve(FakeFarm.quiet());
    go("/offline");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "[] | {} | none",
        "[a('high')] | {} | high",
        "[a('high')] | {visible: false, hour: 3} | high", // it wakes, whether or not it is seen
        "[a('high', {state: 'acknowledged'})] | {} | none",
        "[a('high', {state: 'returned-unacknowledged'})] | {} | none",
        "[a('high', {state: 'latched-unacknowledged'})] | {} | none", // as the yard: when you can
        "[a('high', {state: 'latched-acknowledged'})] | {} | none",
        "[a('high', {state: 'latched-unacknowledged'}), a('medium')] | {} | medium",
        "[a('high', {state: 'shelved'})] | {} | none",
        "[a('high', {annunciated: false})] | {} | none",
        "[a('high', {silencedUntil: '1970-01-01T00:20:00Z'})] | {} | high", // elsewhere
        "[a('high')] | {pausedUntil: 1000001} | none",
        "[a('high')] | {pausedUntil: 1000000} | high",
        "[a('medium')] | {} | medium",
        "[a('medium')] | {visible: false} | none",
        "[a('medium')] | {hour: 22} | none",
        "[a('medium')] | {hour: 6} | none",
        "[a('medium')] | {hour: 7} | medium",
        "[a('medium'), a('high')] | {} | high",
        "[a('low')] | {} | none"
      })
  void alarms_sound_byPriority_untilSomebodyHasThem(String alarms, String device, String sound) {
    assertThat(soundFor(alarms, 0, device)).isEqualTo(sound);
  }

  /** One person's silence must not take the alarm from another's bed. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "'1970-01-01T00:20:00Z' | 'A/x/1970-01-01T00:00:00Z/high' | 1000001 | none",
        "'1970-01-01T00:20:00Z' | 'B/x/1970-01-01T00:00:00Z/high' | 1000001 | high", // another one
        "'1970-01-01T00:20:00Z' | 'A/x/1970-01-01T00:00:00Z/medium' | 1000001 | high", // escalated
        "'1970-01-01T00:20:00Z' | 'A/x/1970-01-01T00:00:00Z/high' | 1000000 | high", // it ran out
        "'1970-01-01T00:10:00Z' | 'A/x/1970-01-01T00:00:00Z/high' | 1000001 | high", // at the farm
        "undefined | 'A/x/1970-01-01T00:00:00Z/high' | 1000001 | high" // it calls anew
      })
  void silence_countsOnTheDeviceWhereItWasAskedFor(
      String farm, String key, long until, String sound) {
    String alarms =
        "undefined".equals(farm)
            ? "[a('high')]"
            : "[a('high', {silencedUntil: '%s'})]".formatted(farm);

    assertThat(soundFor(alarms, 0, "{silenced: {'%s': %d}}".formatted(key, until)))
        .isEqualTo(sound);
  }

  /**
   * What the yard ranks as low must not wake anybody, and what wakes somebody must lead the yard.
   */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "unacknowledged",
        "acknowledged",
        "returned-unacknowledged",
        "latched-unacknowledged",
        "latched-acknowledged",
        "shelved",
        "suppressed",
        "out-of-service"
      })
  void sound_andRank_followOneRule(String alarmState) {
    String high = "[a('high', {state: '%s'})]".formatted(alarmState);
    String script =
        state(high, 0)
            + "const { rank, isCalling } = await import('/assets/state.js');"
            + "return rank(state.tanks[0]) === 'high' && isCalling(state.tanks[0]);";

    assertThat("high".equals(soundFor(high, 0, "{}"))).isEqualTo(browser.run(script));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "[] | 940001 | none", // 59.999 s
        "[] | 940000 | lost", // 60 s
        "[a('high')] | 900000 | high", // what was known to be urgent goes on being so
        "[a('medium')] | 900000 | lost"
      })
  void lostServer_soundsToo_onceItLasts(String alarms, long lostAt, String sound) {
    assertThat(soundFor(alarms, lostAt, "{}")).isEqualTo(sound);
  }

  @ParameterizedTest
  @CsvSource({"59000, none", "60000, lost"})
  void watchThatTellsNothingNew_soundsAsLost_thoughTheServerAnswers(long after, String sound) {
    String script =
        """
        const s = await import('/assets/state.js');
        const m = await import('/assets/sound-plan.js');
        const event = (now) => ({now: new Date(now).toISOString(), notTaken: 0, troubles: [],
          tanks: {A: {time: '1970-01-01T00:00:00Z', alarms: []}}});
        let state = {...s.start(), tanks: [{id: 'A', name: 'A', state: {}}]};
        for (let at = 1000; at <= 1000 + %d; at += 1000) {
          state = s.heard(state, event(at), at);
        }
        return m.soundFor(state, 1000 + %d, {visible: true, hour: 12});
        """;

    assertThat(browser.run(script.formatted(after, after))).isEqualTo(sound);
  }

  /**
   * ISO 8201: half a second on, half a second off, three times, then a pause of a second and a
   * half.
   */
  @Test
  void highPattern_isTheThreePulsePattern_onA520HzSquareWave() {
    String call =
        """
        JSON.stringify([m.PATTERNS.high.hertz, m.PATTERNS.high.wave,
          m.pulsesBetween(m.PATTERNS.high, 10, 10, 16)])
        """;

    assertThat(module("sound-plan", call))
        .isEqualTo("[520,\"square\",[[10,10.5],[11,11.5],[12,12.5],[14,14.5],[15,15.5]]]");
  }

  /** IEC 60601-1-8 for medium priority: 3 pulses of 125–250 ms, bursts 2.5–30 s apart. */
  @Test
  void mediumPattern_staysWithinTheMediumBurst() {
    String call =
        """
        JSON.stringify({n: m.PATTERNS.medium.pulses.length,
          lengths: m.PATTERNS.medium.pulses.every(([on, off]) => off - on > 0.124 && off - on < 0.251),
          gap: m.PATTERNS.medium.every - 1 >= 2.5 && m.PATTERNS.medium.every - 1 <= 30})
        """;

    assertThat(module("sound-plan", call)).isEqualTo("{\"n\":3,\"lengths\":true,\"gap\":true}");
  }

  @Test
  void pulses_plannedPieceByPiece_areTheSameAsInOnePiece() {
    String call =
        """
        (() => {
          const p = m.PATTERNS.high;
          const pieces = [];
          for (let at = 100; at < 160; at += 0.7) {
            pieces.push(...m.pulsesBetween(p, 100, at, at + 0.7));
          }
          const whole = m.pulsesBetween(p, 100, 100, 160.2);
          return pieces.length === whole.length && whole.length === 46
            && pieces.every(([on], i) => Math.abs(on - whole[i][0]) < 1e-9);
        })()
        """;

    assertThat(module("sound-plan", call)).isEqualTo(true);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "[a('high', {spoken: 'Tank 2, gas lost, about 9 minutes. Stop when safe.'})] | ['A'] |"
            + " high Tank 2, gas lost, about 9 minutes. Stop when safe.",
        "[a('high', {spoken: 'X.'}), a('medium', {spoken: 'Y.'})] | ['A'] | high X.",
        "[a('medium', {spoken: 'Y.'})] | ['A'] | medium Y.",
        "[a('high', {spoken: '1.'}), a('high', {spoken: '2.'}), a('high', {spoken: '3.'})] | ['A']"
            + " | high 1. 2.",
        "[a('low', {spoken: 'Z.'})] | ['A'] | nothing",
        "[a('high', {spoken: 'X.'})] | ['B'] | nothing", // not behind this driver
        "[a('high', {spoken: 'X.', tanks: ['C', 'A']})] | ['C'] | high X.", // it speaks for one
        "[a('high', {spoken: 'X.', silencedUntil: '1970-01-01T00:20:00Z'})] | ['A'] | high X.",
        "[a('high', {spoken: 'X.', state: 'acknowledged'})] | ['A'] | nothing"
      })
  void cab_speaksTheServersSentences_ofItsOwnTanks(String alarms, String chosen, String words) {
    String script = words(alarms, 0, chosen) + "return w ? `${w.rank} ${w.text}` : 'nothing';";

    assertThat(browser.run(script)).isEqualTo(words);
  }

  @Test
  void cab_speaksOfALostServer() {
    String script = words("[]", 900_000, "['A']") + "return w.text;";

    assertThat(browser.run(script)).asString().startsWith("Opercle cannot be reached.");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "undefined | 0 | true",
        "{key: 'k', at: 1000} | 20999 | false",
        "{key: 'k', at: 1000} | 21000 | true",
        "{key: 'other', at: 1000} | 1500 | true"
      })
  void words_areRepeated_afterTheirTime_andAtOnceWhenNew(String said, long at, boolean due) {
    assertThat(
            module("speech-plan", "m.isDue(%s, {key: 'k', every: 20000}, %d)".formatted(said, at)))
        .isEqualTo(due);
  }

  private static Object soundFor(String alarms, long lostAt, String device) {
    return browser.run(
        state(alarms, lostAt)
            + """
            const m = await import('/assets/sound-plan.js');
            return m.soundFor(state, 1000000, {visible: true, hour: 12, ...%s});
            """
                .formatted(device));
  }

  private static String words(String alarms, long lostAt, String chosen) {
    return state(alarms, lostAt)
        + """
        const m = await import('/assets/speech-plan.js');
        const w = m.wordsFor(state, 1000000, %s);
        """
            .formatted(chosen);
  }

  private static String state(String alarms, long lostAt) {
    return """
    const a = (priority, more) =>
      ({priority, state: 'unacknowledged', cause: 'x', since: '1970-01-01T00:00:00Z', ...more});
    const state = {lostAt: %d, now: 1000000, heardAt: 1000000,
      tanks: [{id: 'A', name: 'A', state: {alarms: %s}}]};
    """
        .formatted(lostAt, alarms);
  }

  private static Object module(String name, String expression) {
    return browser.run(
        "const m = await import('/assets/%s.js'); return %s;".formatted(name, expression.strip()));
  }
}
