// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.atomic.AtomicReference;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.book.TripTankRecords;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Entry;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.Standing;
import opercle.analysis.records.TankEntry;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripLog;
import opercle.analysis.watch.TankEvent;
import opercle.analysis.watch.TankEvent.Kind;
import org.jspecify.annotations.Nullable;

/**
 * What people did at one tank in a span, put together from everything that the farm book has of it:
 * buttons that were pressed, what was written down of the tank, trips, and fish that were put in or
 * taken out. Each deed once, at the time at which it was done. Of what was corrected stands what
 * holds; what was withdrawn is left out. For any thread; reads the disk.
 */
final class TankDeeds {

  /** Less is a rounding, kg. */
  private static final double NOTHING_KG = 1.0e-6;

  /**
   * What a version of the farm tells.
   *
   * @param kg how much more there is of the species, kg
   */
  private record Step(long version, Species species, double kg, TankDeed deed) {

    /** Whether these are fish with which a trip was begun just after they were put in. */
    boolean isOf(TripLog log) {
      return log.withdrawn().isEmpty()
          && log.trip().kind() == Trip.Kind.ROAD
          && kg > 0.0
          && kg < Stocking.kg(log.trip().load(), species) + NOTHING_KG
          && !deed.time().isAfter(log.from())
          && deed.isDoneAt(log.from());
    }
  }

  private final PastAlarms past;
  private final String tank;
  private final Span span;
  private final Instant now;

  TankDeeds(PastAlarms past, String tank, Span span, Instant now) {
    this.past = past;
    this.tank = tank;
    this.span = span;
    this.now = now;
  }

  /** In order of time; empty where no book is kept. */
  Optional<List<TankDeed>> all() {
    return past.events().get().map(events -> all(events.between(tank, span.from(), span.to())));
  }

  private List<TankDeed> all(List<TankEvent> events) {
    List<TankDeed> deeds = new ArrayList<>();
    Set<String> checks = new HashSet<>();
    past.work()
        .get()
        .ifPresent(
            book -> {
              deeds.addAll(written(book));
              checks.addAll(checks(book));
            });
    List<TripLog> trips = past.trips().get().map(this::trips).orElse(List.of());
    trips.stream()
        .filter(log -> log.withdrawn().isEmpty())
        .forEach(log -> deeds.addAll(TripDeeds.of(log, checks)));
    List<Step> steps = past.versions().get().map(this::steps).orElse(List.of());
    List<TankDeed> fish = steps.stream().map(Step::deed).toList();
    Set<Long> byTrips = past.trips().get().map(r -> madeBy(trips, r.tanks())).orElse(Set.of());
    steps.stream()
        .filter(s -> !byTrips.contains(s.version()))
        .filter(s -> trips.stream().noneMatch(s::isOf))
        .map(Step::deed)
        .filter(f -> deeds.stream().noneMatch(d -> isSameMove(d, f)))
        .toList()
        .forEach(deeds::add);
    events.stream()
        .filter(e -> Stream.concat(deeds.stream(), fish.stream()).noneMatch(d -> d.isToldBy(e)))
        .map(TankDeed::of)
        .toList()
        .forEach(deeds::add);
    return deeds.stream()
        .filter(d -> !d.time().isBefore(span.from()) && d.time().isBefore(span.to()))
        .sorted(Comparator.comparing(TankDeed::time))
        .toList();
  }

  /** The ids of all that was ever said of checks by hand: a trip's file brings them along. */
  private static Set<String> checks(RecordBook book) {
    return book.records().standing(TankEntry.HandCheck.class).stream()
        .flatMap(s -> s.versions().stream())
        .map(Recorded::id)
        .collect(Collectors.toSet());
  }

  /** What was written down at the tank, and fish that were moved into it. */
  private List<TankDeed> written(RecordBook book) {
    return book.records().standing(TankEntry.class).stream()
        .flatMap(s -> written(s).stream())
        .toList();
  }

  private Optional<TankDeed> written(Standing<TankEntry> standing) {
    TankEntry entry = standing.entry();
    Recorded first = standing.versions().get(0);
    if (entry.where().tank().equals(tank)) {
      return Optional.of(deed(entry, first, words(entry), told(entry.kind())));
    }
    return entry instanceof TankEntry.Moved moved && moved.to().equals(tank)
        ? Optional.of(deed(entry, first, came(moved), Optional.of(Kind.FISH_ADDED)))
        : Optional.empty();
  }

  private static TankDeed deed(
      TankEntry entry, Recorded first, String words, Optional<Kind> tellsOf) {
    return new TankDeed(
        entry.where().time(),
        entry.kind().id(),
        Optional.of(first.by()),
        Optional.of(words),
        Optional.of(first.at()),
        tellsOf);
  }

  private static String words(TankEntry entry) {
    String deed = entry.deed();
    return switch (entry.kind()) {
      case SALT -> "Put in " + deed;
      case TREATMENT -> "Treated: " + deed;
      case HAND_CHECK -> "Checked by hand: " + deed;
      case MOVED -> deed + doubt((TankEntry.Moved) entry);
      default -> deed.substring(0, 1).toUpperCase(Locale.ROOT) + deed.substring(1);
    };
  }

  private static String came(TankEntry.Moved moved) {
    String fish =
        (moved.kg().isPresent() ? Stocked.kg(moved.kg().getAsDouble()) + " of " : "")
            + moved.species().orElse("fish");
    return "%s came from %s%s"
        .formatted(fish, moved.where().name().orElse("another tank"), doubt(moved));
  }

  /** What was taken for a move only because it may have been one says so. */
  private static String doubt(TankEntry.Moved moved) {
    return moved.note().map(note -> ". " + note).orElse("");
  }

  private static Optional<Kind> told(Entry.Kind kind) {
    return switch (kind) {
      case FEED -> Optional.of(Kind.FED);
      case WATER_CHANGE -> Optional.of(Kind.WATER_CHANGED);
      case TREATMENT -> Optional.of(Kind.HANDLED);
      case HAND_CHECK -> Optional.of(Kind.CHECKED);
      case MOVED -> Optional.of(Kind.FISH_REMOVED);
      default -> Optional.empty();
    };
  }

  /** An unloading may have been written down long after it: that far back trips are looked at. */
  private List<TripLog> trips(TripRecords records) {
    return records.ofTank(tank, span.from().minus(TripLog.LONGEST), span.to());
  }

  /**
   * The farm's versions by which a tank's record went along with its trips: no deeds beside them.
   * Of a withdrawn trip nothing counts, but its fish are out until somebody has said otherwise.
   */
  private static Set<Long> madeBy(List<TripLog> trips, TripTankRecords kept) {
    Set<Long> made = new HashSet<>();
    for (TripLog log : trips) {
      Map<String, OptionalLong> byEntry = kept.of(log.trip().id());
      boolean counts =
          log.withdrawn()
              .map(w -> byEntry.getOrDefault(w.id(), OptionalLong.empty()).isPresent())
              .orElse(true);
      if (counts) {
        byEntry.values().forEach(version -> version.ifPresent(made::add));
      }
    }
    return made;
  }

  /** Fish that were put in or taken out under Tanks and probes, or with a trip. */
  private List<Step> steps(FarmRecords records) {
    Instant until = now.isAfter(span.to()) ? now : span.to();
    Map<Long, Instant> putIn = records.putIn(tank);
    List<Step> steps = new ArrayList<>();
    AtomicReference<@Nullable Tank> before = new AtomicReference<>();
    records.eachInForce(
        span.from(),
        until,
        version -> {
          @Nullable Tank is = version.farm().tank(tank).orElse(null);
          @Nullable Tank was = before.getAndSet(is);
          if (is != null && was != null) {
            steps.addAll(fish(was, is, version, Optional.ofNullable(putIn.get(version.number()))));
          }
        });
    return steps;
  }

  private static List<Step> fish(Tank was, Tank is, FarmVersion version, Optional<Instant> putIn) {
    List<Step> fish = new ArrayList<>();
    for (Species species :
        Stream.concat(was.loads().stream(), is.loads().stream())
            .map(Tank.Load::species)
            .distinct()
            .toList()) {
      double more = Stocking.kg(is.loads(), species) - Stocking.kg(was.loads(), species);
      if (Math.abs(more) > NOTHING_KG) {
        Kind kind = more > 0.0 ? Kind.FISH_ADDED : Kind.FISH_REMOVED;
        TankDeed deed =
            new TankDeed(
                more > 0.0
                    ? putIn.orElseGet(() -> since(was, is, species, version.time()))
                    : version.time(),
                kind.id(),
                Optional.of(version.by()),
                Optional.of(
                    "%s of %s %s"
                        .formatted(
                            Stocked.kg(Math.abs(more)),
                            species.commonName(),
                            more > 0.0 ? "put in" : "taken out")),
                Optional.of(version.time()),
                Optional.of(kind));
        fish.add(new Step(version.number(), species, more, deed));
      }
    }
    return fish;
  }

  /** The same by what the tank says now: not where they joined others, which are in for longer. */
  private static Instant since(Tank was, Tank is, Species species, Instant written) {
    Set<Instant> known =
        was.loads().stream()
            .filter(l -> l.species() == species)
            .flatMap(l -> l.since().stream())
            .collect(Collectors.toSet());
    return is.loads().stream()
        .filter(l -> l.species() == species)
        .flatMap(l -> l.since().stream())
        .filter(t -> !known.contains(t) && t.isBefore(written))
        .findFirst()
        .orElse(written);
  }

  private static boolean isSameMove(TankDeed moved, TankDeed fish) {
    return moved.tellsOf().equals(fish.tellsOf()) && moved.isWrittenWith(fish);
  }
}
