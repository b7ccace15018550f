// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import java.util.Locale;
import java.util.Optional;

/**
 * One thing looked at in the evening. A value.
 *
 * @param topic what was looked at
 * @param answer whether it is well
 * @param words what was found, one or two sentences
 * @param action the one thing to do about it; empty only where it is well
 */
public record Check(Topic topic, Answer answer, String words, Optional<String> action) {

  public Check {
    if ((answer == Answer.YES) == action.isPresent()) {
      throw new IllegalArgumentException(
          "what is well needs no action, what is not needs one: " + words);
    }
  }

  /** What is looked at, in the order in which it is told. */
  public enum Topic {
    /** Whether an oxygen probe is fresh and trusted. */
    PROBES,
    /** Whether oxygen holds above the keep floor. */
    OXYGEN,
    /** Whether gas comes as usual. */
    SUPPLY,
    /** Whether somebody would be there in time if the gas stopped. */
    TIME_IN_HAND,
    /** Whether the cylinder lasts until the morning. */
    CYLINDER,
    /** Whether the water stays cool enough for the load. */
    WATER,
    /** Whether an alarm stands, or is put aside so that it calls nobody. */
    ALARMS,
    /** Whether the monitor itself is well. */
    MONITOR,
    /** Whether somebody would be called, and the way to them was tested today. */
    PEOPLE;

    /** The word in JSON, for instance {@code time-in-hand}. */
    public String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }

  /** Whether it is well; what is not known is never taken to be. */
  public enum Answer {
    NO,
    UNKNOWN,
    YES;

    /** The word in JSON. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  static Check yes(Topic topic, String words) {
    return new Check(topic, Answer.YES, words, Optional.empty());
  }

  static Check no(Topic topic, String words, String action) {
    return new Check(topic, Answer.NO, words, Optional.of(action));
  }

  static Check unknown(Topic topic, String words, String action) {
    return new Check(topic, Answer.UNKNOWN, words, Optional.of(action));
  }

  /** Whether this one lets the keeper go to bed. */
  public boolean isWell() {
    return answer == Answer.YES;
  }
}
