// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.settings;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Collects every problem of a file, so that a person can mend them in one go. One thread only. */
public final class Problems {

  private final List<Problem> found = new ArrayList<>();

  /** Notes a problem and goes on. */
  public void add(Problem problem) {
    found.add(problem);
  }

  /** Whether nothing is wrong so far. */
  public boolean isEmpty() {
    return found.isEmpty();
  }

  /**
   * Ends the reading of a file.
   *
   * @throws UnusableInputException holding all problems in the order of their lines, if there are
   *     any
   */
  public void throwIfAny() {
    if (!found.isEmpty()) {
      List<Problem> sorted = new ArrayList<>(found);
      sorted.sort(Comparator.comparingInt(Problem::line));
      throw new UnusableInputException(sorted);
    }
  }
}
