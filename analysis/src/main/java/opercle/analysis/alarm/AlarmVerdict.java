// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;

/**
 * What a person said of one occurrence of an alarm once they had looked. The latest verdict on an
 * occurrence holds.
 *
 * @param alarm which alarm
 * @param since when this occurrence of it was raised
 * @param wasTrue whether there was something to do; false: nobody should have been called
 * @param by who says so; not blank
 * @param time when they said so
 */
public record AlarmVerdict(AlarmId alarm, Instant since, boolean wasTrue, String by, Instant time) {

  public AlarmVerdict {
    if (by.isBlank()) {
      throw new IllegalArgumentException(
          "tank %s, alarm %s: a verdict needs the name of who gives it"
              .formatted(alarm.tank(), alarm.cause().id()));
    }
  }
}
