// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Instant;
import java.util.List;

/**
 * Who is to be told what, when: a function of what was known and what is new.
 *
 * <p>An urgent alarm that calls for somebody is told in steps ({@link Escalation}) until somebody
 * has it. A channel that fails, or does not answer in time, is not waited for: the person's next
 * channel is called at once, then the next person. What is not urgent is told once, by day; at
 * night it waits for the morning. Nobody gets more than ten messages in ten minutes: the worst
 * alarms are told one by one, the rest in one message by all of their channels. A call keeps its
 * key however often it is tried and over a restart, so that nothing is told twice as new.
 *
 * <p>Pure: no I/O, no clock, no thread. Immutable; safe for many threads.
 */
public final class Calling {

  private final CallingPlan plan;

  /** Calling by a plan. */
  public Calling(CallingPlan plan) {
    this.plan = plan;
  }

  /** The plan that it goes by. */
  public CallingPlan plan() {
    return plan;
  }

  /**
   * What follows.
   *
   * @param state what is known; save it before anything is sent
   * @param made calls made in this turn
   * @param toSend calls to hand to their channels now, new ones and others again
   */
  public record Step(CallingState state, List<Call> made, List<Call> toSend) {
    public Step {
      made = List.copyOf(made);
      toSend = List.copyOf(toSend);
    }
  }

  /**
   * Takes in news and lets time pass.
   *
   * @param at by the wall clock, which may have been put back
   * @param news in the order in which it came; may be empty
   */
  public Step advance(CallingState state, Instant at, List<News> news) {
    Turn turn = new Turn(plan, state, at);
    turn.take(news);
    turn.pass();
    return turn.end();
  }
}
