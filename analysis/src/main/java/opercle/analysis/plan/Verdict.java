// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

/** What the plan advises, best first. */
public enum Verdict {
  /** Nothing speaks against it. */
  GO("go", "GO"),
  /** It can be done by somebody who watches it; the reasons say what to watch. */
  GO_WITH_CARE("go-with-care", "GO WITH CARE"),
  /** Do not load. */
  DO_NOT_GO("do-not-go", "DO NOT GO");

  private final String id;
  private final String words;

  Verdict(String id, String words) {
    this.id = id;
    this.words = words;
  }

  /** The word that programs read, for instance {@code go-with-care}. */
  public String id() {
    return id;
  }

  /** The words that people read, for instance {@code GO WITH CARE}. */
  public String words() {
    return words;
  }

  /** The more cautious of two. */
  public Verdict and(Verdict other) {
    return compareTo(other) >= 0 ? this : other;
  }
}
