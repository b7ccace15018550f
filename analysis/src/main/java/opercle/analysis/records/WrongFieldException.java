// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Instant;
import java.util.List;
import java.util.function.Function;

/**
 * A field that an entry cannot have as it is. The message is for programs: it names the field as it
 * is sent, and times in UTC. What a keeper reads has the words of their form and the farm's time.
 */
public final class WrongFieldException extends IllegalArgumentException {

  private static final long serialVersionUID = 1L;

  private final String field;
  private final String plain;
  private final transient List<Instant> times;

  /** The same sentence for programs and people. */
  WrongFieldException(String field, String rule) {
    this(field, rule, rule.replace("%", "%%"));
  }

  /**
   * A sentence for each of them.
   *
   * @param field as it is sent
   * @param rule what it must be and what it was
   * @param plain the same for a person, with a place for each of the times
   * @param times that stand in it
   */
  public WrongFieldException(String field, String rule, String plain, Instant... times) {
    super(field + ": " + rule);
    this.field = field;
    this.plain = plain;
    this.times = List.of(times);
  }

  /** The field as it is sent. */
  public String field() {
    return field;
  }

  /**
   * What it must be, for a person, without the field's name.
   *
   * @param time writes a time as the farm's clock had it
   */
  public String told(Function<Instant, String> time) {
    return plain.formatted(times.stream().map(time).toArray());
  }
}
