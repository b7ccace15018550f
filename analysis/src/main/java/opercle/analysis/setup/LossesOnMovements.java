// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.UUID;
import java.util.stream.Stream;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.records.Movement;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.Standing;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLog;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Puts what did not live on a trip on the movements that it was made under, each kind of fish on
 * the one that is of it, and takes it off one that the trip is no longer under. What the keeper has
 * said there by hand stays. To be called within the transaction of what it follows from.
 */
final class LossesOnMovements {

  private static final Logger log = LoggerFactory.getLogger(LossesOnMovements.class);

  /** By its id a correction is known as one that a trip has made. */
  private static final String OWN = "died-";

  private static final String WHY = "As it was written down at the unloading.";

  /** Trips under one movement lie within its own longest time, and there are not so many. */
  private static final Duration WITHIN = Duration.ofDays(15);

  private static final int MOST_TRIPS = 200;

  private final TripRecords trips;
  private final RecordBook records;
  private final InstantSource clock;

  LossesOnMovements(TripRecords trips, RecordBook records, InstantSource clock) {
    this.trips = trips;
    this.records = records;
    this.clock = clock;
  }

  /** Says on the movements how many did not live, unless somebody has said something else there. */
  void tell(TripLog trip) {
    if (trip.trip().tank().isOfOtherFarm()) {
      return;
    }
    for (Standing<Movement> movement : movements(everNamed(trip))) {
      OptionalLong died = died(trip, movement);
      if (!died.equals(movement.entry().died())
          && isOurs(movement)
          && tooMany(died, movement).isEmpty()) {
        put(trip, movement, died);
      }
    }
  }

  /**
   * What cannot be put on a movement because fewer fish went by it, a sentence each with the limit;
   * the trip keeps it.
   */
  List<String> impossible(TripLog trip) {
    if (trip.trip().tank().isOfOtherFarm()) {
      return List.of();
    }
    return movements(trip.trip().movements()).stream()
        .filter(LossesOnMovements::isOurs)
        .flatMap(movement -> tooMany(died(trip, movement), movement).stream())
        .toList();
  }

  /**
   * No more fish die on a movement than went. Asked where the number, or the movement, is written.
   *
   * @throws RefusedEntryException otherwise, with what was said and the limit
   */
  void requirePossible(TripLog trip, TripEntry entry) {
    if (entry instanceof Unloaded || entry instanceof Loaded) {
      impossible(trip).stream()
          .findFirst()
          .ifPresent(
              words -> {
                throw new RefusedEntryException(
                    clockOf ->
                        words
                            + " Put right whichever is wrong: this number, or how many"
                            + " went, under records of movements.");
              });
    }
  }

  private static Optional<String> tooMany(OptionalLong died, Standing<Movement> movement) {
    OptionalLong went = movement.entry().count();
    if (died.isEmpty() || went.isEmpty() || died.getAsLong() <= went.getAsLong()) {
      return Optional.empty();
    }
    return Optional.of(
        "%d %s did not live, and the movement record says that %d went."
            .formatted(
                died.getAsLong(),
                movement.entry().species().strip().toLowerCase(Locale.ROOT),
                went.getAsLong()));
  }

  private void put(TripLog trip, Standing<Movement> movement, OptionalLong died) {
    TripEntry last = trip.entries().get(trip.entries().size() - 1);
    String key = String.join("\n", trip.trip().id(), last.id(), movement.versions().get(0).id());
    RecordBook.Outcome outcome =
        records.keep(
            OWN + UUID.nameUUIDFromBytes(key.getBytes(StandardCharsets.UTF_8)),
            last.by(),
            clock.instant(),
            Optional.of(new Recorded.Correction(movement.id(), WHY, false)),
            movement.entry().withDied(died));
    if (outcome instanceof RecordBook.Outcome.Refused refused) {
      log.warn("losses of a trip are not on its movement: {}", refused.reason());
    }
  }

  private List<Standing<Movement>> movements(List<String> ids) {
    List<Standing<Movement>> found = new ArrayList<>();
    for (String id : ids) {
      records
          .records()
          .find(Movement.class, id)
          .filter(m -> !m.withdrawn())
          .filter(m -> found.stream().noneMatch(f -> f.number() == m.number()))
          .ifPresent(found::add);
    }
    return found;
  }

  /** Also those that a correction has taken the trip from. */
  private static List<String> everNamed(TripLog trip) {
    return trip.entries().stream()
        .filter(Loaded.class::isInstance)
        .flatMap(loaded -> ((Loaded) loaded).trip().movements().stream())
        .distinct()
        .toList();
  }

  /** Whether it was we who said last how many did not live, or nobody has; not who wrote last. */
  private static boolean isOurs(Standing<Movement> standing) {
    OptionalLong said = OptionalLong.empty();
    boolean isOurs = true;
    for (Recorded version : standing.versions()) {
      if (version.entry() instanceof Movement movement && !movement.died().equals(said)) {
        said = movement.died();
        isOurs = said.isEmpty() || version.id().startsWith(OWN);
      }
    }
    return isOurs;
  }

  /**
   * How many of a movement's fish did not live on all the trips that were made under it; empty
   * where nobody has counted. What was only weighed, the trip's report names.
   */
  private OptionalLong died(TripLog trip, Standing<Movement> movement) {
    List<Loss> losses =
        Stream.concat(
                Stream.of(trip),
                trips.newest(trip.from().plus(WITHIN), MOST_TRIPS).stream()
                    .filter(other -> !other.trip().id().equals(trip.trip().id())))
            .filter(under -> under.withdrawn().isEmpty())
            .filter(under -> isUnder(under, movement))
            .flatMap(under -> under.unloaded().stream())
            .flatMap(out -> out.losses().stream())
            .filter(loss -> loss.species().isCalled(movement.entry().species()))
            .toList();
    return losses.stream().allMatch(l -> l.count().isEmpty())
        ? OptionalLong.empty()
        : OptionalLong.of(losses.stream().mapToLong(l -> l.count().orElse(0)).sum());
  }

  private static boolean isUnder(TripLog trip, Standing<Movement> movement) {
    return trip.trip().movements().stream()
        .anyMatch(id -> movement.versions().stream().anyMatch(v -> v.id().equals(id)));
  }
}
