// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Instant;
import java.util.List;
import java.util.Optional;

/**
 * Follows fish through the movements, forwards and backwards. It follows the fish, not the water
 * nor a disease: other fish in the same water are not traced.
 *
 * <p>The rule of mixing (ours, the plainest there is): fish that come into a water mix with those
 * of their species there, and every one of them is as likely to be among those that leave next. So
 * of 100 fish of which 30 are traced, 50 that leave carry 15 of them. Deaths on the way take the
 * same part of the traced fish as of all. The numbers are therefore likely ones and add up; with
 * them a trace from a movement forwards to a water and from that water back to the movement find
 * the same.
 *
 * <p>Where a movement took more fish than the books hold, the excess came from nobody knows where.
 * Where one was only weighed, its number is not known: what lies beyond it is marked
 * <em>perhaps</em> and never left out. Immutable; for any thread.
 */
public final class Tracing {

  private final Records records;
  private final Ledger ledger;

  private Tracing(Records records) {
    this.records = records;
    this.ledger = new Ledger(records);
  }

  /** The movements that stand, ready to be traced; made once for the same records. */
  public static Tracing of(Records records) {
    return records.tracing(Tracing::new);
  }

  /** Movements that took more than the books hold, in order of time. */
  public List<Trace.Overdraw> overdrawn() {
    return List.copyOf(ledger.overdrawn);
  }

  /**
   * Where the fish of a movement went.
   *
   * @param id of the movement
   * @return empty where no such movement stands
   */
  public Optional<Trace> forwards(String id) {
    int start = ledger.movement(id);
    return start == Ledger.NOWHERE
        ? Optional.empty()
        : Optional.of(new ForwardTrace(ledger).ofMovement(start));
  }

  /**
   * Where the fish went that were in a water at an instant or came into it afterwards.
   *
   * @param water its id
   */
  public Trace forwards(String water, Instant since) {
    return forwards(water, Optional.empty(), since);
  }

  /** The same of one species alone, where one is named. */
  public Trace forwards(String water, Optional<String> species, Instant since) {
    return new ForwardTrace(ledger).ofWater(ledger.of(first(water), species), since);
  }

  /**
   * Where the fish of a movement came from.
   *
   * @param id of the movement
   * @return empty where no such movement stands
   */
  public Optional<Trace> backwards(String id) {
    int start = ledger.movement(id);
    return start == Ledger.NOWHERE
        ? Optional.empty()
        : Optional.of(new BackwardTrace(ledger).ofMovement(start));
  }

  /**
   * Where the fish came from that the books hold in a water at an instant.
   *
   * @param water its id
   */
  public Trace backwards(String water, Instant at) {
    return backwards(water, Optional.empty(), at);
  }

  /** The same of one species alone, where one is named. */
  public Trace backwards(String water, Optional<String> species, Instant at) {
    return new BackwardTrace(ledger).ofWater(ledger.of(first(water), species), at);
  }

  private String first(String water) {
    return records.find(Water.class, water).map(Standing::id).orElse(water);
  }
}
