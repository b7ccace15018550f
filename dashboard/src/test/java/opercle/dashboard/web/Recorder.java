// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

/**
 * A script that notes what a page really does with the browser's sound and speech, and lets it go
 * on: {@code window.noted.pulses} (each with wave, pitch and times), {@code .hushed}, {@code
 * .spoken}.
 */
final class Recorder {

  static final String SCRIPT =
      """
      window.noted = {pulses: [], hushed: 0, spoken: []};
      const {start, stop} = AudioScheduledSourceNode.prototype;
      const open = new Map();
      AudioScheduledSourceNode.prototype.start = function (when) {
        const pulse = {wave: this.type, hertz: this.frequency.value, on: when};
        open.set(this, pulse);
        noted.pulses.push(pulse);
        return start.call(this, when);
      };
      AudioScheduledSourceNode.prototype.stop = function (when) {
        if (when === undefined) {
          noted.hushed += 1;
          return stop.call(this);
        }
        open.get(this).off = when;
        return stop.call(this, when);
      };
      const {speak} = SpeechSynthesis.prototype;
      SpeechSynthesis.prototype.speak = function (utterance) {
        noted.spoken.push(utterance.text);
        return speak.call(this, utterance);
      };
      """;

  /** A device that has a voice; the browser in the tests has none. */
  static final String WITH_A_VOICE =
      "SpeechSynthesis.prototype.getVoices = () => [{name: 'a voice', lang: 'en-GB'}];";

  private Recorder() {}
}
