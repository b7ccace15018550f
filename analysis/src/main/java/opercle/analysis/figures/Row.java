// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

/**
 * One figure as a line for people, beside what is expected of it.
 *
 * @param id for programs
 * @param measure what was measured
 * @param value the figure in words
 * @param expected what it should be; empty where nothing is expected
 * @param source who says so
 * @param verdict how the two compare
 */
public record Row(
    String id, String measure, String value, String expected, String source, Verdict verdict) {

  /** How a figure compares with what is expected. */
  public enum Verdict {
    /** As it should be. */
    GOOD,
    /** Worse than it should be, but within the limit. */
    WORSE,
    /** Beyond the limit; or, where there is none, not as it should be. */
    BAD,
    /** Nothing to compare, or too little to judge by. */
    NOT_JUDGED;

    /** The word in JSON, for instance {@code not-judged}. */
    public String id() {
      return name().toLowerCase(java.util.Locale.ROOT).replace('_', '-');
    }
  }
}
