// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

/**
 * Where a figure comes from.
 *
 * @param confidence how well it is founded
 * @param source the publication or the practice, short enough for one line
 */
public record Evidence(Confidence confidence, String source) {

  /** Read in a source that was opened. */
  public static Evidence read(String source) {
    return new Evidence(Confidence.READ, source);
  }

  /** Worked out here from figures that were read. */
  public static Evidence derived(String source) {
    return new Evidence(Confidence.DERIVED, source);
  }

  /** Recalled from a named publication. */
  public static Evidence fromMemory(String source) {
    return new Evidence(Confidence.FROM_MEMORY, source);
  }

  /** What the trade does. */
  public static Evidence commonPractice(String source) {
    return new Evidence(Confidence.COMMON_PRACTICE, source);
  }

  /** Source and confidence in one line. */
  @Override
  public String toString() {
    return source + " (" + confidence.words() + ")";
  }
}
