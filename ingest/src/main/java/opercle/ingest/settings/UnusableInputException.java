// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.settings;

import java.util.List;
import java.util.stream.Collectors;

/** A file or an option that Opercle cannot work with. The message has one line for each problem. */
public final class UnusableInputException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  private final transient List<Problem> problems;

  /** With all that is wrong; the list must not be empty. */
  public UnusableInputException(List<Problem> problems) {
    super(problems.stream().map(Problem::toString).collect(Collectors.joining("\n")));
    this.problems = List.copyOf(problems);
  }

  /** With one problem. */
  public UnusableInputException(Problem problem) {
    this(List.of(problem));
  }

  /** What is wrong, in the order of the lines. */
  public List<Problem> problems() {
    return problems;
  }
}
