// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.LocalDate;
import java.util.Locale;
import java.util.Optional;

/**
 * Something about a movement's papers that somebody should look at. It refuses nothing.
 *
 * @param need which paper it is about
 * @param what what there is to see
 * @param words the sentence; it names the reference and its end where there is one
 * @param reference the number on the document
 * @param ends its last day, as the document says or by the keeper's rule
 */
public record Prompt(
    Need need, What what, String words, Optional<String> reference, Optional<LocalDate> ends) {

  /** What there is to see. */
  public enum What {
    MISSING,
    LAPSES,
    DOES_NOT_MATCH,
    NOT_SAID,
    /** It was withdrawn from the records since, or before. */
    WITHDRAWN,
    /** A period that has not ended. */
    RUNS;

    /** The word for it. */
    public String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }

  static Prompt of(Need need, What what, String words) {
    return new Prompt(need, what, words, Optional.empty(), Optional.empty());
  }
}
