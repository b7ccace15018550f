// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.UUID;
import java.util.concurrent.atomic.AtomicReference;
import java.util.stream.Stream;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.records.Movement;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.Records;
import opercle.analysis.records.Standing;
import opercle.analysis.trip.FishOut;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Writes entries of trips with what follows from them, both or neither: with the unloading the fish
 * are out of the tank, and what did not live stands on the movement that the trip was made under.
 * What the keeper has said of either by hand goes before and is counted once. For any thread.
 */
public final class TripDoor {

  private static final Logger log = LoggerFactory.getLogger(TripDoor.class);

  /** By its id a correction is known as one that a trip has made. */
  private static final String OWN = "died-";

  private static final String WHY = "As it was written down at the unloading.";

  /** Trips under one movement lie within its own longest time, and there are not so many. */
  private static final Duration WITHIN = Duration.ofDays(15);

  private static final int MOST_TRIPS = 200;

  private final TripRecords trips;
  private final FarmDoor farm;
  private final FarmRecords versions;
  private final RecordBook records;
  private final InstantSource clock;

  /**
   * The door.
   *
   * @param farm through which the fish go out of the tank
   * @param versions how the farm stood when
   * @param records of the same book, and nobody else's: it is held while the book is written
   */
  public TripDoor(
      TripRecords trips,
      FarmDoor farm,
      FarmRecords versions,
      RecordBook records,
      InstantSource clock) {
    this.trips = trips;
    this.farm = farm;
    this.versions = versions;
    this.records = records;
    this.clock = clock;
  }

  /**
   * Writes an entry down as {@link TripRecords#add} does, with what follows from it.
   *
   * @return the trip as it then is; empty where there is no such trip
   */
  public Optional<TripLog> add(String trip, TripEntry entry) {
    Optional<TripLog> before = trips.trip(trip);
    if (before.isEmpty() || !letsFishOut(before.get(), entry)) {
      return trips.atOnce(() -> added(trip, entry));
    }
    AtomicReference<@Nullable TripLog> written = new AtomicReference<>();
    var unused =
        farm.change(
            OptionalLong.empty(),
            entry.by(),
            now -> without(before.get(), now),
            () -> written.set(added(trip, entry).orElse(null)));
    @Nullable TripLog log = written.get();
    return log != null ? Optional.of(log) : trips.atOnce(() -> added(trip, entry));
  }

  /**
   * Takes a trip in from a file as {@link TripRecords#take} does, with what did not live on it. A
   * file in which nothing is new changes nothing.
   */
  public TripRecords.Taken take(TripFile file) {
    return trips.atOnce(
        () -> {
          Optional<TripLog> before = trips.trip(file.log().trip().id());
          TripRecords.Taken taken = trips.take(file);
          if (taken.entries() > 0) {
            TripLog now = before.orElse(file.log());
            for (TripEntry entry : file.log().entries()) {
              now = now.with(entry);
            }
            tell(now);
          }
          return taken;
        });
  }

  private static boolean letsFishOut(TripLog before, TripEntry entry) {
    Trip trip = before.trip();
    return entry instanceof Unloaded
        && entry.corrects().isEmpty()
        && before.isUnderWay()
        && trip.kind() == Trip.Kind.ROAD
        && !trip.tank().isOfOtherFarm();
  }

  private Farm without(TripLog before, Farm now) {
    List<Farm> since =
        versions.inForce(before.from(), clock.instant()).stream().map(v -> v.farm()).toList();
    return FishOut.of(since, now, before.trip());
  }

  private Optional<TripLog> added(String trip, TripEntry entry) {
    Optional<TripLog> after = trips.add(trip, entry);
    after.ifPresent(this::tell);
    return after;
  }

  /** Says on the movement how many did not live, unless somebody has said something else there. */
  private void tell(TripLog trip) {
    Optional<String> id = trip.trip().movementRecord();
    if (id.isEmpty()
        || trip.trip().tank().isOfOtherFarm()
        || (trip.unloaded().isEmpty() && trip.withdrawn().isEmpty())) {
      return;
    }
    Records known = records.records();
    Optional<Standing<Movement>> standing =
        known.find(Movement.class, id.get()).filter(m -> !m.withdrawn());
    if (standing.isEmpty()) {
      return;
    }
    Movement movement = standing.get().entry();
    OptionalLong died = died(trip, standing.get());
    boolean isPossible =
        movement.count().isEmpty() || died.orElse(0L) <= movement.count().getAsLong();
    if (died.equals(movement.died()) || !isOurs(standing.get()) || !isPossible) {
      return;
    }
    TripEntry last = trip.entries().get(trip.entries().size() - 1);
    RecordBook.Outcome outcome =
        records.keep(
            OWN + UUID.nameUUIDFromBytes(key(trip, last).getBytes(StandardCharsets.UTF_8)),
            last.by(),
            clock.instant(),
            Optional.of(new Recorded.Correction(standing.get().id(), WHY, false)),
            movement.withDied(died));
    if (outcome instanceof RecordBook.Outcome.Refused refused) {
      log.warn("losses of a trip are not on its movement: {}", refused.reason());
    }
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

  private static String key(TripLog trip, TripEntry entry) {
    return trip.trip().id() + "\n" + entry.id();
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
                    .filter(other -> !other.trip().id().equals(trip.trip().id()))
                    .filter(other -> isUnder(other, movement)))
            .filter(under -> under.withdrawn().isEmpty())
            .flatMap(under -> under.unloaded().stream())
            .flatMap(out -> out.losses().stream())
            .filter(loss -> loss.species().isCalled(movement.entry().species()))
            .toList();
    return losses.stream().allMatch(l -> l.count().isEmpty())
        ? OptionalLong.empty()
        : OptionalLong.of(losses.stream().mapToLong(l -> l.count().orElse(0)).sum());
  }

  private static boolean isUnder(TripLog trip, Standing<Movement> movement) {
    return trip.trip()
        .movementRecord()
        .filter(id -> movement.versions().stream().anyMatch(v -> v.id().equals(id)))
        .isPresent();
  }
}
