// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.time.InstantSource;
import java.util.Optional;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;

/**
 * Writes entries of trips with what follows from them, both or neither: with the unloading the fish
 * are out of the tank, a loading that is put right puts the tank's record right, and what did not
 * live stands on the movements that the trip was made under. What the keeper has said of either by
 * hand goes before and is counted once. Where the trip has ended and fish may have been moved by
 * hand, the tank's record follows when somebody has said so. For any thread.
 */
public final class TripDoor {

  private final TripRecords trips;
  private final TripTanks tanks;
  private final LossesOnMovements losses;

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
    this.tanks = new TripTanks(trips, farm, versions, trips.tanks(), clock);
    this.losses = new LossesOnMovements(trips, records, clock);
  }

  /**
   * Writes an entry down as {@link TripRecords#add} does, with what follows from it.
   *
   * @return the trip as it then is; empty where there is no such trip
   */
  public Optional<TripLog> add(String trip, TripEntry entry) {
    return tanks.write(trip, entry, () -> added(trip, entry));
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

  /**
   * Takes a trip in from a file as {@link TripRecords#take} does, with what did not live on it; all
   * of it also where that cannot be so, which is said. A file in which nothing is new changes
   * nothing. The tank's record stays as it is: see {@link #offer}.
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

  /**
   * What the tank's record could say by a trip that has ended and came in from a file, was put
   * right or was withdrawn since, or whose unloading could not be followed in all; empty where it
   * says so, where somebody has put it right by hand or has said that it is to stay, and eight days
   * after the end.
   */
  public Optional<TankOffer> offer(TripLog log) {
    return tanks.offer(log);
  }

  /**
   * Does what {@link #offer} has offered, or leaves the tank's record as it is; sent twice it is
   * done once.
   *
   * @param entry that it was offered for
   * @param isTaken whether the record is to be changed
   * @param basedOn the farm's version that the offer was seen with
   * @throws RefusedActException if the farm is another by now
   * @throws opercle.analysis.trip.RefusedEntryException if nothing is offered for it, or somebody
   *     else has answered otherwise meanwhile
   */
  public void settle(TripLog log, String entry, boolean isTaken, long basedOn, String by) {
    tanks.settle(log, entry, isTaken, basedOn, by);
  }
}
