// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trace;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.farm.Farm;
import opercle.analysis.publish.WatchJson;
import opercle.analysis.watch.FarmWatch;
import opercle.analysis.watch.TankState;
import opercle.ingest.reading.Reading;
import org.jspecify.annotations.Nullable;

/**
 * Runs readings through the watch in event time and writes what it said as JSON Lines: alarm
 * events, tank states at even intervals, and last a summary. The same readings give the same lines.
 *
 * <p>The clock of a replay is the newest reading's time. A single reading that lies more than a day
 * ahead of all others is a probe's clock gone wrong and is rejected, lest it carry the clock with
 * it; two in a row are a gap in the trace. One thread only.
 */
public final class Replay {

  private static final Duration LEAP = Duration.ofDays(1);

  private final FarmWatch watch;
  private final Optional<Duration> statesEvery;
  private final Consumer<String> lines;

  private @Nullable Instant start;
  private @Nullable Instant clock;
  private @Nullable Reading held;
  private long nextTickSecond;
  private long readings;
  private long rejected;
  private long raised;

  /**
   * A replay that has seen nothing yet.
   *
   * @param farm whose tanks are watched
   * @param statesEvery how often to write each tank's state, in trace time; whole seconds; empty:
   *     never
   * @param lines takes each line, without its line break
   */
  public Replay(Farm farm, Optional<Duration> statesEvery, Consumer<String> lines) {
    this.watch = new FarmWatch(farm);
    this.statesEvery = statesEvery;
    this.lines = lines;
  }

  /** Counts a row that could not be read. */
  public void reject() {
    rejected++;
  }

  /** Takes the next reading of the trace; readings may be slightly out of order. */
  public void accept(Reading reading) {
    if (clock != null && leaps(clock, reading)) {
      Reading earlier = held;
      if (earlier == null) {
        held = reading;
        return;
      }
      held = null;
      if (leaps(earlier.time(), reading) || leaps(reading.time(), earlier)) {
        rejected++; // the two do not agree on a new time either
        held = reading;
        return;
      }
      // Two in a row agree: the trace has a gap. Nothing is asked of the watch within it beyond a
      // day.
      take(earlier);
      take(reading);
      return;
    }
    if (held != null) {
      rejected++;
      held = null;
    }
    take(reading);
  }

  /** Writes the summary; call once, after the last reading. */
  public void finish() {
    if (held != null) {
      rejected++;
    }
    Instant from = start;
    Instant to = clock;
    double seconds =
        from == null || to == null ? 0.0 : Duration.between(from, to).toMillis() / 1000.0;
    lines.accept(WatchJson.summary(readings, rejected, raised, seconds));
  }

  private static boolean leaps(Instant from, Reading to) {
    return Duration.between(from, to.time()).compareTo(LEAP) > 0;
  }

  private void take(Reading reading) {
    Instant time = reading.time();
    if (clock == null) {
      start = time;
      clock = time;
      nextTickSecond = time.getEpochSecond() + 1;
    } else if (time.isAfter(clock)) {
      if (leaps(clock, reading)) {
        tickTo(clock.plus(LEAP));
        nextTickSecond = Math.max(nextTickSecond, time.minus(LEAP).getEpochSecond());
      }
      clock = time;
    }
    tickTo(clock);
    readings++;
    tell(watch.accept(reading));
  }

  private void tickTo(Instant to) {
    for (; nextTickSecond <= to.getEpochSecond(); nextTickSecond++) {
      Instant second = Instant.ofEpochSecond(nextTickSecond);
      tell(watch.tick(second));
      if (statesEvery.isPresent() && nextTickSecond % statesEvery.get().toSeconds() == 0) {
        for (TankState state : watch.states(second)) {
          lines.accept(WatchJson.brief(state));
        }
      }
    }
  }

  private void tell(List<AlarmEvent> events) {
    for (AlarmEvent event : events) {
      if (event.event() == AlarmEvent.Kind.RAISED) {
        raised++;
      }
      lines.accept(WatchJson.alarm(event));
    }
  }
}
