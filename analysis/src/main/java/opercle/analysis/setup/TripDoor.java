// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.atomic.AtomicReference;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.trip.FishOut;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import org.jspecify.annotations.Nullable;

/**
 * Writes entries of trips with what follows from them, both or neither: with the unloading the fish
 * are out of the tank, and what did not live stands on the movement that the trip was made under.
 * What the keeper has said of either by hand goes before and is counted once. For any thread.
 */
public final class TripDoor {

  private final TripRecords trips;
  private final FarmDoor farm;
  private final FarmRecords versions;
  private final LossesOnMovements losses;
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
    this.losses = new LossesOnMovements(trips, records, clock);
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
   * Takes a trip in from a file as {@link TripRecords#take} does, with what did not live on it; all
   * of it also where that cannot be so, which is said. A file in which nothing is new changes
   * nothing.
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
            losses.tell(now);
            return taken.with(losses.impossible(now));
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
    after.ifPresent(
        log -> {
          losses.requirePossible(log, entry);
          losses.tell(log);
        });
    return after;
  }
}
