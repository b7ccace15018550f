// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;

/**
 * Whom an urgent alarm calls at each step, and how long after the last one.
 *
 * <p>Design of our own, after the practice of answering services: the first person at once by one
 * channel, after 30 s by all, after 90 s the second one too, after 3 min everybody on call, then
 * everybody there is, every 3 min until somebody has it. With less than five minutes in hand there
 * is no time for steps: everybody at once, every minute. Between, waits go in proportion to the
 * time in hand, 15 min being the measure, from a third to four times.
 */
final class Escalation {

  static final double NO_TIME_MINUTES = 5;

  private static final Duration[] WAITS = {
    Duration.ofSeconds(30), Duration.ofSeconds(60), Duration.ofSeconds(90)
  };
  private static final Duration REPEAT = Duration.ofMinutes(3);
  private static final Duration REPEAT_IN_A_HURRY = Duration.ofMinutes(1);
  private static final double MEASURE_MINUTES = 15;
  private static final double SHORTEST = 1.0 / 3.0;
  private static final double LONGEST = 4;
  private static final int ALL_CHANNELS = 1;
  private static final int SECOND_PERSON = 2;
  private static final int ALL_ON_CALL = 3;

  private final CallingPlan plan;
  private final Instant at;
  private final Set<String> driving;

  Escalation(CallingPlan plan, Instant at, Set<String> driving) {
    this.plan = plan;
    this.at = at;
    this.driving = driving;
  }

  static boolean isHurry(OptionalDouble minutesInHand) {
    return minutesInHand.isPresent() && minutesInHand.getAsDouble() < NO_TIME_MINUTES;
  }

  /** How long to wait after so many steps. */
  static Duration wait(int steps, OptionalDouble minutesInHand) {
    if (isHurry(minutesInHand)) {
      return REPEAT_IN_A_HURRY;
    }
    Duration wait = steps <= WAITS.length ? WAITS[steps - 1] : REPEAT;
    double scale =
        Math.min(
            LONGEST, Math.max(SHORTEST, minutesInHand.orElse(MEASURE_MINUTES) / MEASURE_MINUTES));
    return Duration.ofMillis(Math.round(wait.toMillis() * scale));
  }

  /** Whom to call at a step, counted from 0. */
  Set<Target> targets(int step, OptionalDouble minutesInHand) {
    List<Person> order = inOrder();
    if (isHurry(minutesInHand) || step > ALL_ON_CALL) {
      return allOf(order);
    }
    if (step == ALL_ON_CALL) {
      return allOf(onCall());
    }
    return byPerson(order, step < SECOND_PERSON ? 1 : 2, step >= ALL_CHANNELS);
  }

  /** Whether nobody can be called: what calls then waits for whoever is named. */
  boolean isNobodyThere() {
    return plan.people().isEmpty();
  }

  /** Every channel of everybody, those on call first. */
  Set<Target> everything() {
    return allOf(inOrder());
  }

  /** Who is to be told of what is not urgent: those who can act before those who drive. */
  List<Person> toTellOnce() {
    List<Person> order = new ArrayList<>(inOrder());
    order.sort(Comparator.comparing(p -> driving.contains(p.name())));
    return order;
  }

  /** Everybody, those on call first. */
  private List<Person> inOrder() {
    Set<Person> order = new LinkedHashSet<>(onCall());
    order.addAll(plan.people());
    return List.copyOf(order);
  }

  /** So many people who can act, and on the way to them those who drive: they are told beside. */
  private Set<Target> byPerson(List<Person> order, int able, boolean allChannels) {
    Set<Target> targets = new LinkedHashSet<>();
    int found = 0;
    for (Person person : order) {
      if (found == able) {
        break;
      }
      if (!driving.contains(person.name())) {
        found++;
      }
      List<String> channels = allChannels ? person.channels() : person.channels().subList(0, 1);
      channels.forEach(c -> targets.add(new Target(person.name(), c)));
    }
    return targets;
  }

  private List<Person> onCall() {
    List<Person> now = new ArrayList<>();
    for (Person person : plan.people()) {
      if (person.onCall().map(h -> h.contain(at, plan.zone())).orElse(true)) {
        now.add(person);
      }
    }
    return now.isEmpty() ? plan.people() : now; // better the wrong person than none
  }

  private static Set<Target> allOf(List<Person> people) {
    Set<Target> targets = new LinkedHashSet<>();
    for (Person person : people) {
      person.channels().forEach(c -> targets.add(new Target(person.name(), c)));
    }
    return targets;
  }
}
