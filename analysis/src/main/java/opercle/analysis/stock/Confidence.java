// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

/** How well a figure is founded, best first. Every figure about fish carries one. */
public enum Confidence {
  /** Read in a source that was opened; the source is named. */
  READ("read"),
  /** Worked out here from figures that were read, with the assumptions said. */
  DERIVED("worked out"),
  /** Recalled from a named publication that was not opened again. */
  FROM_MEMORY("from memory"),
  /** What the trade does; no publication was found. */
  COMMON_PRACTICE("common practice");

  private final String words;

  Confidence(String words) {
    this.words = words;
  }

  /** As people read it, for instance {@code from memory}. */
  public String words() {
    return words;
  }

  /** The weaker of two: a result is no better founded than its weakest part. */
  public Confidence and(Confidence other) {
    return compareTo(other) >= 0 ? this : other;
  }
}
