// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.util.Locale;

/** Alarm states of ISA-18.2 / IEC 62682 that the book uses. */
public enum AlarmState {
  /** A: the condition is absent and nothing is owed. */
  NORMAL,
  /** B: the condition is present, nobody has said that they have it. */
  UNACKNOWLEDGED,
  /** C: the condition is present and a named person has it. */
  ACKNOWLEDGED,
  /** D: the condition has gone, but nobody had acknowledged it. */
  RETURNED_UNACKNOWLEDGED;

  /** The word in events, for instance {@code returned-unacknowledged}. */
  public String id() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
