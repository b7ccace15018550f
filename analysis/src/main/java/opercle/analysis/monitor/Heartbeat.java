// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import java.time.Duration;
import java.util.Optional;

/**
 * Decides when the watcher outside may be told that all is well: only after a full cycle since the
 * last time. A bare timer would go on beating in a monitor that hears nothing.
 *
 * <p>Pure. Not thread-safe.
 */
public final class Heartbeat {

  /** So many in a row not sent, or not taken, are a trouble. */
  static final int MISSED = 3;

  private final long everyNanos;
  private long dueAt;
  private Cycle last;
  private int missed;
  private String why = "";

  /**
   * What a full cycle is told by.
   *
   * @param readings how many the watch has taken since the start
   * @param seconds how many the watch has let pass since the start
   * @param silenceIsAlarmed whether every tank with fish in it that is not heard has an alarm that
   *     says so
   * @param canCall whether at least one channel can be counted on; empty where nobody is set up to
   *     be called
   */
  public record Cycle(
      long readings, long seconds, boolean silenceIsAlarmed, Optional<Boolean> canCall) {}

  /** What to do now. */
  public enum Beat {
    /** Nothing: it is not time. */
    WAIT,
    /** Tell the watcher outside; then say what became of it. */
    SEND,
    /** It is time, but there was no full cycle. */
    WITHHOLD
  }

  /**
   * The first beat is due after one interval.
   *
   * @param every how often
   * @param steadyNanos a clock that never steps, ns
   * @param now the counts at the start
   */
  public Heartbeat(Duration every, long steadyNanos, Cycle now) {
    this.everyNanos = every.toNanos();
    this.dueAt = steadyNanos + everyNanos;
    this.last = now;
  }

  /** Whether to beat now. */
  public Beat beat(long steadyNanos, Cycle now) {
    if (steadyNanos < dueAt) {
      return Beat.WAIT;
    }
    dueAt = steadyNanos + everyNanos;
    Optional<String> lacking = lacking(now);
    if (lacking.isPresent()) {
      miss(lacking.get());
      return Beat.WITHHOLD;
    }
    last = now;
    return Beat.SEND;
  }

  private Optional<String> lacking(Cycle now) {
    if (now.seconds() <= last.seconds()) {
      return Optional.of("the watch has not run since the last one");
    }
    if (now.readings() <= last.readings() && !now.silenceIsAlarmed()) {
      return Optional.of("no reading came since the last one, and no alarm says so yet");
    }
    if (!now.canCall().orElse(true)) {
      return Optional.of("no way to call anybody works");
    }
    return Optional.empty();
  }

  /** The watcher outside has it. */
  public void taken() {
    missed = 0;
    why = "";
  }

  /** The watcher outside did not take it. */
  public void failed(String reason) {
    miss(reason);
  }

  private void miss(String reason) {
    missed++;
    why = reason;
  }

  /**
   * Why the watcher outside has heard nothing for three intervals; empty if all is well. Without a
   * count: the same words again are no news.
   */
  public Optional<String> trouble() {
    return missed < MISSED
        ? Optional.empty()
        : Optional.of("The heartbeat did not go out %d times or more: %s.".formatted(MISSED, why));
  }
}
