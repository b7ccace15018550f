// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.function.Function;

/**
 * An entry that does not fit the trip; the sentence says why, for the person who wrote it, with
 * times as their clock shows them.
 */
public final class RefusedEntryException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  private static final DateTimeFormatter CLOCK =
      DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm", Locale.ENGLISH);

  private final transient Function<ZoneId, String> sentence;

  RefusedEntryException(String sentence) {
    super(sentence);
    this.sentence = zone -> sentence;
  }

  /**
   * A sentence with times in it.
   *
   * @param sentence is given what says an instant as a day and a time
   */
  public RefusedEntryException(Sentence sentence) {
    super(in(ZoneOffset.UTC, sentence) + " (Times in UTC.)");
    this.sentence = zone -> in(zone, sentence);
  }

  private static String in(ZoneId zone, Sentence sentence) {
    return sentence.words(time -> CLOCK.withZone(zone).format(time));
  }

  /** Says why, with the clock of a place. */
  public String sentence(ZoneId zone) {
    return sentence.apply(zone);
  }

  /** A sentence in which times stand. */
  @FunctionalInterface
  public interface Sentence {

    /**
     * The whole of it.
     *
     * @param clock says an instant as a day and a time
     */
    String words(Function<Instant, String> clock);
  }
}
