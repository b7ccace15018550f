// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Set;

/**
 * Calls for what is urgent; beside a channel that is in doubt, tries another way at once. For one
 * turn.
 */
final class Ringer<C extends Rung<C>> {

  private final CallingPlan plan;
  private final Escalation escalation;
  private final Outbox outbox;
  private final Map<String, C> causes;

  /**
   * Calls for these.
   *
   * @param causes by their keys; what is rung is noted in it
   */
  Ringer(CallingPlan plan, Escalation escalation, Outbox outbox, Map<String, C> causes) {
    this.plan = plan;
    this.escalation = escalation;
    this.outbox = outbox;
    this.causes = causes;
  }

  void ring(String key, Target target) {
    C cause = causes.get(key);
    if (cause == null || !cause.calling() || cause.tried().contains(target.id())) {
      return;
    }
    causes.put(key, cause.rung(target));
    if (outbox.admitsStep(target.person(), cause.message(), key)) {
      outbox.make(target, cause.kind(), key, cause.message(), cause.step(), cause.about());
    }
    if (outbox.isDoubtful(target)) {
      ringNext(key, target);
    }
  }

  /** The person's other channels first, then the next person. */
  void ringNext(String key, Target failed) {
    C cause = causes.get(key);
    if (cause == null || !cause.calling()) {
      return;
    }
    Set<Target> ways = new LinkedHashSet<>();
    plan.person(failed.person())
        .ifPresent(p -> p.channels().forEach(c -> ways.add(new Target(p.name(), c))));
    ways.addAll(escalation.everything());
    ways.stream()
        .filter(way -> !cause.tried().contains(way.id()))
        .findFirst()
        .ifPresent(way -> ring(key, way));
  }
}
