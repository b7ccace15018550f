// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.util.Locale;

/** Alarm states of ISA-18.2 / IEC 62682, with their letters. */
public enum AlarmState {
  /** A: the condition is absent and nothing is owed. */
  NORMAL,
  /** B: the condition is present, nobody has said that they have it. */
  UNACKNOWLEDGED,
  /** C: the condition is present and a named person has it. */
  ACKNOWLEDGED,
  /** D: the condition has gone, but nobody had acknowledged it. */
  RETURNED_UNACKNOWLEDGED,
  /** E: the condition has gone, nobody had acknowledged it, and somebody must look and reset it. */
  LATCHED_UNACKNOWLEDGED,
  /** E: the condition has gone, a named person had it, and somebody must look and reset it. */
  LATCHED_ACKNOWLEDGED,
  /** F: put aside by a named person for a limited time. */
  SHELVED,
  /** G: the consequence of another alarm, which speaks for it. */
  SUPPRESSED,
  /** H: its tank or its cause is out of service for a limited time, for a reason. */
  OUT_OF_SERVICE;

  /** The word in events, for instance {@code returned-unacknowledged}. */
  public String id() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** Whether the alarm calls for a person: its condition is present and nobody has it. */
  public boolean callsSomebody() {
    return this == UNACKNOWLEDGED;
  }

  /** Whether somebody may reset it. */
  public boolean isLatched() {
    return this == LATCHED_UNACKNOWLEDGED || this == LATCHED_ACKNOWLEDGED;
  }
}
