// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;

/**
 * Who can be called, and when.
 *
 * @param people in the order in which they are called; empty: nobody is
 * @param zone the farm's time zone
 * @param night when only what is urgent may wake somebody
 * @param morning when the night's other news is told
 * @param patience how long a channel may take before another way is tried beside it
 * @param tests when the whole way is tested; empty: never by itself
 */
public record CallingPlan(
    List<Person> people,
    ZoneId zone,
    Hours night,
    LocalTime morning,
    Duration patience,
    Optional<TestTimes> tests) {

  /** Usual night. */
  public static final Hours USUAL_NIGHT = new Hours(LocalTime.of(22, 0), LocalTime.of(6, 30));

  /** Usual time of the morning's summary. */
  public static final LocalTime USUAL_MORNING = LocalTime.of(7, 0);

  /** Usual patience with a channel. */
  public static final Duration USUAL_PATIENCE = Duration.ofSeconds(15);

  public CallingPlan {
    people = List.copyOf(people);
  }

  Optional<Person> person(String name) {
    return people.stream().filter(p -> p.name().equals(name)).findFirst();
  }
}
