// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.analysis.calling.Call.Kind;

/** Tests of the whole way in one turn of calling. */
final class TestTurn {

  /** A test that could not be made at its hour is not made in the night instead. */
  private static final Duration TOO_LATE = Duration.ofHours(1);

  private final CallingPlan plan;
  private final Instant at;
  private final Outbox outbox;

  TestTurn(CallingPlan plan, Instant at, Outbox outbox) {
    this.plan = plan;
    this.at = at;
    this.outbox = outbox;
  }

  /**
   * Makes those whose hour it is.
   *
   * @param due when the next ones were to be
   * @return when the next ones are to be now
   */
  Optional<Instant> ifDue(Optional<Instant> due) {
    if (plan.tests().isEmpty()) {
      return Optional.empty();
    }
    boolean isDue = due.map(t -> !t.isAfter(at)).orElse(false);
    boolean inTime = due.map(t -> !at.isAfter(t.plus(TOO_LATE))).orElse(false);
    if (isDue && inTime) {
      if (!plan.people().stream().allMatch(p -> outbox.hasRoom(p.name()))) {
        return due; // what calls now comes first
      }
      plan.people().forEach(person -> test(person, person.channels(), Optional.empty()));
    }
    // Where the plan was changed, or the clock put back, what was noted is no longer right.
    return Optional.of(plan.tests().get().nextAfter(at, plan.zone()));
  }

  void wanted(News.TestWanted wanted) {
    plan.person(wanted.person())
        .ifPresent(
            person ->
                test(
                    person,
                    person.channels().stream()
                        .filter(c -> wanted.channel().isEmpty() || wanted.channel().get().equals(c))
                        .toList(),
                    Optional.of(wanted.by())));
  }

  private void test(Person person, List<String> channels, Optional<String> by) {
    String seed = "test " + outbox.serial();
    if (by.isEmpty() && !outbox.admits(person.name(), seed, "")) {
      return;
    }
    About about = About.NOTHING.by(by);
    for (String channel : channels) {
      outbox.make(new Target(person.name(), channel), Kind.TEST, "", seed, 1, about);
    }
  }
}
