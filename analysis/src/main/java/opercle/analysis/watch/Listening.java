// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.List;

/**
 * Who listens to a tank's probes, since when and by which clock, and so which of them are silent.
 * Silence is judged by the receiver's clock alone, and only the time that somebody listened through
 * counts. Not thread-safe.
 */
final class Listening {

  /**
   * Without any oxygen reading for this long since the start a tank is not watched, seconds: five
   * intervals of the slowest ordinary probe, as for one that falls silent.
   */
  static final double NEVER_HEARD_SECONDS = 300.0;

  /** A probe that has been silent for this long is gone at the next start, seconds. */
  private static final double GONE_SECONDS = 86_400.0;

  private static final long NEVER = Long.MIN_VALUE;

  private final Probes probes;
  private ReceiverClock clock = ReceiverClock.NOT_HEARD;
  private boolean starting;
  private long since = NEVER;
  private boolean unheard;

  /** When any probe was last heard, and when one was heard again after the link was down. */
  private long anyHeardAt = NEVER;

  private long backAt = NEVER;

  /**
   * The whole of it as a value.
   *
   * @param clock the receiver's
   * @param starting whether the next tick is the first that somebody listens from
   * @param since when somebody began to listen, by that clock
   * @param unheard whether nobody has told oxygen since then, for too long
   * @param anyHeardAt when any probe was last heard
   * @param backAt when one was first heard again after the link was down
   */
  record Snapshot(
      ReceiverClock clock,
      boolean starting,
      long since,
      boolean unheard,
      long anyHeardAt,
      long backAt) {}

  Listening(Probes probes) {
    this.probes = probes;
  }

  /**
   * From the next tick on somebody listens who may have been away.
   *
   * @return probes that had been silent for a day before: they are taken to be no longer there, and
   *     have been forgotten
   */
  List<Probe> start() {
    starting = true;
    List<Probe> gone =
        probes.all().stream()
            .filter(p -> p.silent && p.rhythm.quietSeconds(clock.last()) >= GONE_SECONDS)
            .toList();
    probes.forget(gone);
    return gone;
  }

  /** A probe has spoken. */
  void heard(Probe probe) {
    probe.silent = false;
    unheard &= !probe.measuresOxygen();
    long now = probe.rhythm.heardAt();
    if (anyHeardAt == NEVER || Micros.seconds(now - anyHeardAt) > probe.rhythm.freshForSeconds()) {
      backAt = now; // nothing at all was heard for longer than this probe is ever quiet
    }
    anyHeardAt = now;
  }

  /**
   * Whether a probe that is silent while others are heard may only be the last to speak again after
   * the link was down: it is given as long as any probe before it counts as silent.
   */
  boolean mayComeBack(Probe silent, long now) {
    return backAt != NEVER && Micros.seconds(now - backAt) < silent.rhythm.silentAfterSeconds();
  }

  /**
   * Time has passed: finds who is silent.
   *
   * @return by how much the clock has stepped, or nobody listened, in microseconds; 0 mostly
   */
  long tick(long now) {
    long step = clock.steppedBy(now);
    if (starting && step > 0) {
      step = 0; // nobody listened, as was said: silence counts on from the last reading
    }
    if (step != 0) {
      for (Probe p : probes.all()) {
        p.rhythm = p.rhythm.heardLaterBy(step);
      }
      since = later(since, step);
      anyHeardAt = later(anyHeardAt, step);
      backAt = later(backAt, step);
    }
    if (starting) {
      starting = false;
      since = now;
    }
    clock = clock.tick(now);
    double listened = seconds(now);
    for (Probe p : probes.all()) {
      p.silent = p.rhythm.isSilent(now) && (p.silent || listened >= p.rhythm.silentAfterSeconds());
    }
    unheard |= since != NEVER && listened >= NEVER_HEARD_SECONDS && !probes.haveToldOxygen();
    return step;
  }

  private static long later(long time, long step) {
    return time == NEVER ? NEVER : time + step;
  }

  /** When a reading of that time was heard, as near as can be told. */
  long heardAt(long time) {
    return clock.heardAt(time);
  }

  /** For how long somebody has listened; for ever where nobody said that they began. */
  double seconds(long now) {
    return since == NEVER ? Double.POSITIVE_INFINITY : Micros.seconds(now - since);
  }

  /** Whether somebody has listened for long enough, and was never told any oxygen. */
  boolean isUnheard() {
    return unheard;
  }

  Snapshot snapshot() {
    return new Snapshot(clock, starting, since, unheard, anyHeardAt, backAt);
  }

  void restore(Snapshot s) {
    clock = s.clock();
    starting = s.starting();
    since = s.since();
    unheard = s.unheard();
    anyHeardAt = s.anyHeardAt();
    backAt = s.backAt();
  }
}
