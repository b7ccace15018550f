// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Instant;
import java.util.Optional;
import java.util.regex.Pattern;

/**
 * An entry as it was recorded; it is never changed.
 *
 * @param id its own, made by whoever recorded it: 8–64 letters, digits and hyphens
 * @param number in the order of recording, from 1
 * @param at when it was recorded
 * @param by who recorded it
 * @param correction what it corrects, and why; empty: it is a first entry
 * @param entry what it says
 */
public record Recorded(
    String id, long number, Instant at, String by, Optional<Correction> correction, Entry entry) {

  private static final Pattern ID = Pattern.compile("[A-Za-z0-9-]{8,64}");

  /**
   * That an entry takes the place of another, which stays readable.
   *
   * @param corrects the id of the entry that was wrong
   * @param why in the words of whoever corrects it
   * @param withdraws whether it should not have been made at all
   */
  public record Correction(String corrects, String why, boolean withdraws) {

    public Correction {
      why = Limits.line("why", why);
    }
  }

  public Recorded {
    if (!ID.matcher(id).matches()) {
      throw new WrongFieldException(
          "id", "must be 8–64 letters, digits and hyphens but was '%s'".formatted(id));
    }
    by = Limits.line("by", by);
    if (correction.isPresent() && correction.get().corrects().equals(id)) {
      throw new WrongFieldException("corrects", "an entry cannot correct itself");
    }
  }

  /** Whether both were recorded from the same form, sent twice. */
  public boolean isSameAs(Recorded other) {
    return id.equals(other.id)
        && by.equals(other.by)
        && correction.equals(other.correction)
        && entry.equals(other.entry);
  }
}
