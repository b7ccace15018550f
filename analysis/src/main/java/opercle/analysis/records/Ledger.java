// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The standing movements as departures and arrivals in order of time, with what each pool (the fish
 * of one species in one water) held just before each. At one instant, what was recorded first comes
 * first. Immutable once made; its arrays are not handed on.
 */
final class Ledger {

  static final int NOWHERE = -1;

  /** A water and a species. */
  record Pool(String water, String species) {}

  final List<Standing<Movement>> movements;
  final List<Pool> pools = new ArrayList<>();
  private final List<String> speciesNames = new ArrayList<>();
  private final Map<Pool, Integer> indexOf = new LinkedHashMap<>();
  private final Map<String, String> keys = new HashMap<>(); // few kinds, many movements

  /** By movement; a pool's index or {@link #NOWHERE}. */
  final int[] from;

  final int[] to;

  /** By movement; NaN: not counted. */
  final double[] count;

  /** By movement, the part of its fish that arrives alive. */
  final double[] alive;

  /** In order: twice the movement's index, and one more where it is the arrival. */
  final int[] events;

  /** By event: what its pool held just before it. */
  final double[] held;

  final List<Trace.Overdraw> overdrawn = new ArrayList<>();

  Ledger(Records records) {
    movements = records.standing(Movement.class);
    int n = movements.size();
    from = new int[n];
    to = new int[n];
    count = new double[n];
    alive = new double[n];
    for (int i = 0; i < n; i++) {
      Movement m = movements.get(i).entry();
      from[i] = pool(records, m.from(), m.species());
      to[i] = pool(records, m.to(), m.species());
      count[i] = m.count().isPresent() ? m.count().getAsLong() : Double.NaN;
      alive[i] =
          m.count().isPresent() ? 1.0 - (double) m.died().orElse(0L) / m.count().getAsLong() : 1.0;
    }
    events = inOrder(movements);
    held = new double[events.length];
    run();
  }

  private int pool(Records records, Optional<String> water, String species) {
    if (water.isEmpty()) {
      return NOWHERE;
    }
    // A corrected water goes by its first id, whichever of its ids the movement names.
    String id = records.find(Water.class, water.get()).map(Standing::id).orElse(water.get());
    return indexOf.computeIfAbsent(
        new Pool(id, keys.computeIfAbsent(species, Movement::key)),
        pool -> {
          pools.add(pool);
          speciesNames.add(species);
          return pools.size() - 1;
        });
  }

  private static int[] inOrder(List<Standing<Movement>> movements) {
    Integer[] events = new Integer[2 * movements.size()];
    Instant[] times = new Instant[events.length];
    for (int e = 0; e < events.length; e++) {
      events[e] = e;
      times[e] = time(movements, e);
    }
    // Stable, and movements come in the order of recording.
    Arrays.sort(events, Comparator.comparing(e -> times[e]));
    return Arrays.stream(events).mapToInt(Integer::intValue).toArray();
  }

  private static Instant time(List<Standing<Movement>> movements, int event) {
    Movement m = movements.get(event / 2).entry();
    return event % 2 == 0 ? m.departs() : m.arrives();
  }

  /** When the event at a place of the order was. */
  Instant time(int place) {
    return time(movements, events[place]);
  }

  private void run() {
    double[] now = new double[pools.size()];
    for (int e = 0; e < events.length; e++) {
      int i = events[e] / 2;
      boolean arrival = events[e] % 2 == 1;
      int pool = arrival ? to[i] : from[i];
      if (pool == NOWHERE) {
        continue;
      }
      held[e] = now[pool];
      if (Double.isNaN(count[i])) {
        continue;
      }
      if (arrival) {
        now[pool] += count[i] * alive[i];
      } else {
        if (count[i] > now[pool]) {
          overdrawn.add(
              new Trace.Overdraw(
                  movements.get(i).id(), pools.get(pool).water(), (long) count[i], now[pool]));
        }
        now[pool] = Math.max(0.0, now[pool] - count[i]);
      }
    }
  }

  /** Which movement bears an id; {@link #NOWHERE} where none that stands does. */
  int movement(String id) {
    for (int i = 0; i < movements.size(); i++) {
      if (movements.get(i).versions().stream().anyMatch(v -> v.id().equals(id))) {
        return i;
      }
    }
    return NOWHERE;
  }

  /** A pool's fish, named as they first were. */
  String species(int pool) {
    return speciesNames.get(pool);
  }

  /** By pool: whether it is of a water, and of a species where one is named. */
  boolean[] of(String water, Optional<String> species) {
    Optional<String> key = species.map(Movement::key);
    boolean[] of = new boolean[pools.size()];
    for (int pool = 0; pool < of.length; pool++) {
      Pool p = pools.get(pool);
      of[pool] = p.water().equals(water) && key.map(p.species()::equals).orElse(true);
    }
    return of;
  }

  static boolean isOf(int pool, boolean[] followed) {
    return pool != NOWHERE && followed[pool];
  }
}
