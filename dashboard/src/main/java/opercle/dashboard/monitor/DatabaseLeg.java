// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.Executor;
import java.util.function.Supplier;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.ingest.store.GivenUp;
import opercle.ingest.store.SpooledReadings;

/**
 * The way of readings to a database on another machine: whether it takes them, and whether so many
 * wait that old ones had to be thinned. Times are UTC, cut to minutes, so that each second is no
 * news.
 *
 * <p>For one thread. The spool's disk is waited for elsewhere; where it hangs, {@link DiskLeg} says
 * so.
 */
public final class DatabaseLeg implements Leg {

  private final Supplier<SpooledReadings.State> state;
  private final Executor elsewhere;
  private CompletableFuture<Map<TroubleKey, String>> asking =
      CompletableFuture.completedFuture(Map.of());
  private Map<TroubleKey, String> found = Map.of();

  /** Asks for the state once a second, but no second time before it is told. */
  public DatabaseLeg(Supplier<SpooledReadings.State> state) {
    this(
        state,
        task -> {
          Thread thread = new Thread(task, "self-watch-database");
          thread.setDaemon(true);
          thread.start();
        });
  }

  DatabaseLeg(Supplier<SpooledReadings.State> state, Executor elsewhere) {
    this.state = state;
    this.elsewhere = elsewhere;
  }

  @Override
  public String what() {
    return "the database of readings";
  }

  @Override
  public Map<TroubleKey, String> look(long steadyNanos) {
    if (asking.isDone()) {
      found = asking.exceptionally(e -> Map.of()).join();
      asking = CompletableFuture.supplyAsync(() -> troubles(state.get()), elsewhere);
    }
    return found;
  }

  private static Map<TroubleKey, String> troubles(SpooledReadings.State state) {
    Map<TroubleKey, String> troubles = new LinkedHashMap<>();
    state
        .away()
        .ifPresent(
            why ->
                troubles.put(
                    TroubleKey.of(TroubleKind.DATABASE_AWAY),
                    "The database of readings takes none%s: %s. They wait on this machine's disk; what is only in the database cannot be shown."
                        .formatted(
                            state.since().map(s -> " since " + TimeWords.of(s)).orElse(""), why)));
    Instant waiting = state.waitingSince().orElse(Instant.MAX);
    List<GivenUp> thinned =
        state.givenUp().stream()
            .filter(g -> g.what() != GivenUp.What.REFUSED && !g.last().isBefore(waiting))
            .toList();
    if (!thinned.isEmpty()) {
      Instant first = thinned.stream().map(GivenUp::first).min(Instant::compareTo).orElseThrow();
      troubles.put(
          TroubleKey.of(TroubleKind.READINGS_THINNED),
          "The room for readings that wait for the database is full: from %s on %s; %s readings or more are gone."
              .formatted(TimeWords.of(first), left(thinned), roughly(thinned)));
    }
    return troubles;
  }

  /** The first digit of how many, so that each one is no news. */
  private static String roughly(List<GivenUp> thinned) {
    long readings = thinned.stream().mapToLong(GivenUp::readings).sum();
    long unit = 1;
    while (readings / unit >= 10) {
      unit *= 10;
    }
    return String.format(Locale.ROOT, "%,d", readings / unit * unit);
  }

  private static String left(List<GivenUp> thinned) {
    GivenUp worst =
        thinned.stream().reduce((a, b) -> a.what().compareTo(b.what()) > 0 ? a : b).orElseThrow();
    return switch (worst.what()) {
      case THINNED -> "only the lowest and the highest of each minute are kept";
      case SUMMARY_LEFT -> "of the oldest only each minute's lowest, highest and mean are kept";
      default -> "the oldest are lost";
    };
  }
}
