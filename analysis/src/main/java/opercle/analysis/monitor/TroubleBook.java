// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Keeps the monitor's own troubles: conditions in, events out, with each kind's delays. Delays run
 * by a clock that never steps, for a stepping wall clock is one of the troubles.
 *
 * <p>Pure. Not thread-safe.
 */
public final class TroubleBook {

  private static final Comparator<MonitorTrouble> MOST_URGENT_FIRST =
      Comparator.comparing(MonitorTrouble::priority).thenComparing(MonitorTrouble::since);

  private final Map<TroubleKey, Entry> entries = new LinkedHashMap<>();

  private record Entry(MonitorTrouble trouble, boolean stands, long since, long lastPresent) {}

  /**
   * Takes one look.
   *
   * @param wall the wall clock
   * @param steadyNanos a clock that never steps, ns
   * @param present every condition that holds now, in words; what is not in it does not hold
   */
  public List<TroubleEvent> look(Instant wall, long steadyNanos, Map<TroubleKey, String> present) {
    List<TroubleEvent> events = new ArrayList<>();
    Set<TroubleKey> keys = new LinkedHashSet<>(entries.keySet());
    keys.addAll(present.keySet());
    for (TroubleKey key : keys) {
      @Nullable Entry before = entries.get(key);
      @Nullable String words = present.get(key);
      if (words != null) {
        holds(key, words, before, wall, steadyNanos, events);
      } else if (before != null) {
        holdsNot(key, before, wall, steadyNanos, events);
      }
    }
    return events;
  }

  private void holds(
      TroubleKey key,
      String words,
      @Nullable Entry before,
      Instant wall,
      long steady,
      List<TroubleEvent> events) {
    long since = before == null ? steady : before.since();
    boolean stood = before != null && before.stands();
    boolean stands = stood || steady - since >= key.kind().onDelay().toNanos();
    MonitorTrouble trouble =
        new MonitorTrouble(key, before == null ? wall : before.trouble().since(), words);
    if (stands && !stood) {
      events.add(new TroubleEvent(wall, TroubleEvent.Kind.RAISED, trouble));
    } else if (before != null && stands && !words.equals(before.trouble().words())) {
      events.add(new TroubleEvent(wall, TroubleEvent.Kind.CHANGED, trouble));
    }
    entries.put(key, new Entry(trouble, stands, since, steady));
  }

  private void holdsNot(
      TroubleKey key, Entry before, Instant wall, long steady, List<TroubleEvent> events) {
    Duration off = before.stands() ? key.kind().offDelay() : Duration.ZERO;
    if (steady - before.lastPresent() < off.toNanos()) {
      return;
    }
    entries.remove(key);
    if (before.stands()) {
      events.add(new TroubleEvent(wall, TroubleEvent.Kind.CLEARED, before.trouble()));
    }
  }

  /** What stands, most urgent first. */
  public List<MonitorTrouble> standing() {
    return entries.values().stream()
        .filter(Entry::stands)
        .map(Entry::trouble)
        .sorted(MOST_URGENT_FIRST)
        .toList();
  }
}
