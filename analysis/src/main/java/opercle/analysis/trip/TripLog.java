// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import opercle.analysis.farm.Tank;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripEntry.Withdrawn;

/**
 * All that was written of one trip, in the order of writing. It only grows. Immutable.
 *
 * <p>Where an entry was corrected, the latest word holds, and the earlier ones stay to be seen
 * ({@link #replaced}).
 */
public final class TripLog {

  /** A trip or a night in one piece is no longer than this. */
  public static final Duration LONGEST = Duration.ofDays(8);

  /**
   * A check belongs to the trip until so long after the unloading (ours): whoever stays by the fish
   * that went out still looks at this load, later they are fish of the water they are in.
   */
  public static final Duration CHECKED_AFTER = Duration.ofMinutes(30);

  private final List<TripEntry> entries;
  private final Map<String, TripEntry> inForce; // by the id of the first of a line of corrections

  private TripLog(List<TripEntry> entries, Map<String, TripEntry> inForce) {
    this.entries = entries;
    this.inForce = inForce;
  }

  /** A trip that begins. */
  public static TripLog of(Loaded loaded) {
    if (loaded.corrects().isPresent()) {
      throw new RefusedEntryException("A trip begins with its loading, not with a correction.");
    }
    Map<String, TripEntry> inForce = new LinkedHashMap<>();
    inForce.put(loaded.id(), loaded);
    return new TripLog(List.of(loaded), inForce);
  }

  /**
   * A trip from all its entries in the order of writing.
   *
   * @throws RefusedEntryException if they are no trip
   */
  public static TripLog of(List<? extends TripEntry> entries) {
    if (entries.isEmpty() || !(entries.get(0) instanceof Loaded first)) {
      throw new RefusedEntryException("A trip begins with its loading.");
    }
    TripLog log = of(first);
    for (TripEntry entry : entries.subList(1, entries.size())) {
      log = log.with(entry);
    }
    return log;
  }

  /**
   * The trip with one entry more; the same trip where it has that very entry already.
   *
   * @throws RefusedEntryException if the entry does not fit
   */
  public TripLog with(TripEntry entry) {
    for (TripEntry there : entries) {
      if (there.id().equals(entry.id())) {
        if (there.equals(entry)) {
          return this;
        }
        throw new RefusedEntryException(
            "Something else was written down by the same form already. Look below, and put it right"
                + " there.");
      }
    }
    String root = entry.corrects().map(this::root).orElse(entry.id());
    requireFits(entry, root);
    List<TripEntry> grown = new ArrayList<>(entries);
    grown.add(entry);
    Map<String, TripEntry> now = new LinkedHashMap<>(inForce);
    now.put(root, entry);
    TripLog log = new TripLog(List.copyOf(grown), now);
    log.requireOrder();
    return log;
  }

  private void requireFits(TripEntry entry, String root) {
    withdrawn()
        .ifPresent(
            gone -> {
              throw new RefusedEntryException(
                  "%s withdrew this trip (%s). Nothing more can be written of it."
                      .formatted(gone.by(), gone.why()));
            });
    if (entry.corrects().isEmpty()) {
      if (entry instanceof Loaded) {
        throw new RefusedEntryException("The trip has begun already. Correct its loading instead.");
      }
      if (entry instanceof Unloaded && unloaded().isPresent()) {
        throw new RefusedEntryException("The fish are out already. Correct the unloading instead.");
      }
      return;
    }
    TripEntry corrected = Objects.requireNonNull(inForce.get(root), root);
    if (corrected.getClass() != entry.getClass()) {
      throw new RefusedEntryException("A correction must be of the same kind as what it corrects.");
    }
    if (entry instanceof Loaded loaded
        && (!loaded.trip().id().equals(trip().id())
            || !loaded.trip().tank().id().equals(trip().tank().id()))) {
      throw new RefusedEntryException(
          "Which tank a trip is of cannot be corrected. Start another trip.");
    }
  }

  /**
   * No more fish are lost than went in. Asked where an entry is written, not where one is read:
   * what was kept stays readable.
   *
   * @throws RefusedEntryException otherwise, saying which
   */
  public void requireLossesOfTheLoad() {
    List<String> beyond = lossesBeyondTheLoad();
    if (!beyond.isEmpty()) {
      throw new RefusedEntryException(String.join(" ", beyond));
    }
  }

  /** Where more fish are lost than went in, a sentence for each kind. */
  public List<String> lossesBeyondTheLoad() {
    List<String> beyond = new ArrayList<>();
    for (TripEntry.Loss loss : unloaded().map(TripEntry.Unloaded::losses).orElse(List.of())) {
      String name = loss.species().commonName();
      List<Tank.Load> loads =
          trip().load().stream().filter(l -> l.species() == loss.species()).toList();
      boolean counted = loads.stream().allMatch(l -> l.count().isPresent());
      int count = loads.stream().mapToInt(l -> l.count().orElse(0)).sum();
      double kg = loads.stream().mapToDouble(Tank.Load::kg).sum();
      if (loads.isEmpty()) {
        beyond.add("No %s went in, so none can be lost.".formatted(name));
      } else if (counted && loss.count().orElse(0) > count) {
        beyond.add(
            "%d %s cannot be lost: %d went in.".formatted(loss.count().getAsInt(), name, count));
      } else if (loss.kg().orElse(0.0) > kg) {
        beyond.add(
            "%.1f kg of %s cannot be lost: %.1f kg went in."
                .formatted(loss.kg().getAsDouble(), name, kg));
      }
    }
    return beyond;
  }

  private void requireOrder() {
    Instant in = loaded().time();
    for (TripEntry entry : inForce.values()) {
      if (entry.time().isBefore(in) && !(entry instanceof Withdrawn)) {
        throw new RefusedEntryException(
            clock ->
                "%s would be at %s, before the fish went in at %s."
                    .formatted(what(entry), clock.apply(entry.time()), clock.apply(in)));
      }
    }
    unloaded()
        .filter(out -> !out.time().isAfter(in))
        .ifPresent(
            out -> {
              throw new RefusedEntryException(
                  clock ->
                      "The fish cannot go out at %s: they went in then."
                          .formatted(clock.apply(out.time())));
            });
    unloaded()
        .filter(out -> out.time().isAfter(in.plus(LONGEST)))
        .ifPresent(
            out -> {
              throw new RefusedEntryException(
                  clock ->
                      "The fish went in at %s: %s is more than %d days later, too long for one trip. Look at the year and the day."
                          .formatted(clock.apply(in), clock.apply(out.time()), LONGEST.toDays()));
            });
  }

  private static String what(TripEntry entry) {
    return entry instanceof Unloaded ? "The unloading" : "The check";
  }

  /**
   * No check is of long after the unloading. Asked where an entry is written, not where one is
   * read: what was kept stays readable.
   *
   * @throws RefusedEntryException otherwise, saying which
   */
  public void requireChecksOfTheTrip() {
    unloaded()
        .ifPresent(
            out ->
                checks().stream()
                    .filter(check -> check.time().isAfter(out.time().plus(CHECKED_AFTER)))
                    .findFirst()
                    .ifPresent(
                        check -> {
                          throw new RefusedEntryException(
                              clock ->
                                  ("The fish went out at %s, and the check is of %s, more than %d min"
                                          + " later. Write it down at the tank that they are in, or put"
                                          + " the unloading right.")
                                      .formatted(
                                          clock.apply(out.time()),
                                          clock.apply(check.time()),
                                          CHECKED_AFTER.toMinutes()));
                        }));
  }

  /**
   * No check is of so long after the loading that one of the two must be mistyped. Asked where an
   * entry is written, not where one is read: what was kept stays readable.
   *
   * @throws RefusedEntryException otherwise, saying which
   */
  public void requireLength() {
    Instant in = loaded().time();
    checks().stream()
        .filter(check -> check.time().isAfter(in.plus(LONGEST)))
        .findFirst()
        .ifPresent(
            check -> {
              throw new RefusedEntryException(
                  clock ->
                      "The fish went in at %s, and the check is of %s: that is more than %d days, too long for one trip. Look at the year and the day."
                          .formatted(clock.apply(in), clock.apply(check.time()), LONGEST.toDays()));
            });
  }

  private String root(String id) {
    Map<String, String> roots = new HashMap<>();
    for (TripEntry entry : entries) {
      roots.put(entry.id(), entry.corrects().map(c -> roots.getOrDefault(c, c)).orElse(entry.id()));
    }
    String root = roots.get(id);
    if (root == null) {
      throw new RefusedEntryException(
          "What this puts right is not of this trip. Open the trip again, and put it right there.");
    }
    return root;
  }

  /** Everything, in the order of writing. */
  public List<TripEntry> entries() {
    return entries;
  }

  /** The loading that holds. */
  public Loaded loaded() {
    return inForce(Loaded.class).get(0);
  }

  /** The trip as it holds. */
  public Trip trip() {
    return loaded().trip();
  }

  /** The checks that hold, in order of time. */
  public List<StopCheck> checks() {
    return inForce(StopCheck.class).stream().sorted(Comparator.comparing(StopCheck::time)).toList();
  }

  /** The unloading that holds; empty while the trip goes on. */
  public Optional<Unloaded> unloaded() {
    return inForce(Unloaded.class).stream().findFirst();
  }

  /** By whom and why it was said that it should never have been begun; mostly empty. */
  public Optional<Withdrawn> withdrawn() {
    return inForce(Withdrawn.class).stream().findFirst();
  }

  /** Whether the fish are in, and it was not withdrawn. */
  public boolean isUnderWay() {
    return unloaded().isEmpty() && withdrawn().isEmpty();
  }

  /** Entries that were corrected: they no longer hold. */
  public List<TripEntry> replaced() {
    return entries.stream().filter(e -> !inForce.containsValue(e)).toList();
  }

  /** When the trip began. */
  public Instant from() {
    return loaded().time();
  }

  /** When it ended or was withdrawn, or, while it goes on, the instant given. */
  public Instant to(Instant now) {
    return unloaded()
        .map(Unloaded::time)
        .or(() -> withdrawn().map(Withdrawn::time).filter(t -> t.isAfter(from())))
        .orElse(now);
  }

  private <E extends TripEntry> List<E> inForce(Class<E> kind) {
    return inForce.values().stream().filter(kind::isInstance).map(kind::cast).toList();
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof TripLog log && entries.equals(log.entries);
  }

  @Override
  public int hashCode() {
    return entries.hashCode();
  }
}
