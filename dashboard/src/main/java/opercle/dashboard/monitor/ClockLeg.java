// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.monitor.ClockSteps;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import org.jspecify.annotations.Nullable;

/** The wall clock against one that never steps. For one thread. */
public final class ClockLeg implements Leg {

  private final InstantSource wall;
  private @Nullable ClockSteps last;

  /** Looks at the machine's own clock, not at one that a simulation runs faster. */
  public ClockLeg(InstantSource wall) {
    this.wall = wall;
  }

  @Override
  public String what() {
    return "the clock";
  }

  @Override
  public Map<TroubleKey, String> look(long steadyNanos) {
    Instant now = wall.instant();
    Optional<Duration> step = last == null ? Optional.empty() : last.step(now, steadyNanos);
    last = new ClockSteps(now, steadyNanos);
    return step.map(s -> Map.of(TroubleKey.of(TroubleKind.CLOCK_STEPPED), words(s)))
        .orElse(Map.of());
  }

  private static String words(Duration step) {
    long seconds = step.abs().toSeconds();
    String by = seconds < 300 ? seconds + " s" : seconds / 60 + " min";
    return step.isNegative()
        ? "The clock was put back by %s.".formatted(by)
        : "The clock went forward by %s, or the machine slept.".formatted(by);
  }
}
