// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.time.Duration;
import java.util.List;

/**
 * A named run: what happens, and when.
 *
 * @param name as given on the command line
 * @param description one line for a person
 * @param happenings in any order
 */
public record Scenario(String name, String description, List<Happening> happenings) {

  public Scenario {
    happenings = List.copyOf(happenings);
  }

  /** The same, after so much more of an ordinary night. */
  public Scenario afterAnother(Duration quiet) {
    return new Scenario(name, description, happenings.stream().map(h -> h.laterBy(quiet)).toList());
  }

  /**
   * The scenario of that name.
   *
   * @throws IllegalArgumentException naming the name and all that there are
   */
  public static Scenario named(String name) {
    return Scenarios.ALL.stream()
        .filter(s -> s.name().equals(name))
        .findFirst()
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    "no scenario is called \"%s\"; there are: %s"
                        .formatted(name, String.join(", ", names()))));
  }

  /** The names of all scenarios, in the order in which they are worth trying. */
  public static List<String> names() {
    return all().stream().map(Scenario::name).toList();
  }

  /** All scenarios. */
  public static List<Scenario> all() {
    return Scenarios.ALL;
  }
}
