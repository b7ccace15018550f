// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.function.Supplier;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.book.TripRecords;
import opercle.analysis.book.TripTankRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmChanges;
import opercle.analysis.farm.Tank;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.TankAccount;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripEntry.Withdrawn;
import opercle.analysis.trip.TripLog;
import opercle.ingest.settings.UnusableInputException;
import org.jspecify.annotations.Nullable;

/**
 * Lets the record of a tank go along with the trip that is made with it: at once while somebody
 * stands by it, with the unloading and with a loading that is put right; afterwards when somebody
 * has said so.
 */
final class TripTanks {

  /** After the id of an entry that the record went along with: what of it is open all the same. */
  private static final String REST = "/rest";

  /** After the id of an unloading that was written here and left the record as it was. */
  private static final String ALONE = "/alone";

  /** Later nobody knows by this trip what is in the tank (ours). */
  private static final Duration OFFERED = TripLog.LONGEST;

  private final TripRecords trips;
  private final FarmDoor farm;
  private final FarmRecords versions;
  private final TripTankRecords kept;
  private final InstantSource clock;

  TripTanks(
      TripRecords trips,
      FarmDoor farm,
      FarmRecords versions,
      TripTankRecords kept,
      InstantSource clock) {
    this.trips = trips;
    this.farm = farm;
    this.versions = versions;
    this.kept = kept;
    this.clock = clock;
  }

  /**
   * Writes an entry with what the tank's record says after it, both or neither. What it follows
   * from is read when it is this change's turn: another one of the trip may have come before.
   *
   * @param writing writes the entry
   */
  Optional<TripLog> write(String trip, TripEntry entry, Supplier<Optional<TripLog>> writing) {
    if (following(trip, entry).isEmpty()) {
      return trips.atOnce(writing);
    }
    List<Optional<TripLog>> written = new ArrayList<>();
    List<TripLog> seen = new ArrayList<>();
    try {
      var unused =
          farm.change(
              OptionalLong.empty(),
              entry.by(),
              now -> {
                Optional<TripLog> before = following(trip, entry);
                before.ifPresent(seen::add);
                return before.map(log -> after(log, entry, now)).orElse(now);
              },
              () -> {
                Optional<Loaded> loaded = following(trip, entry).map(TripLog::loaded);
                if (!loaded.equals(Optional.of(seen.get(0).loaded()))) { // a file came in just now
                  throw changed();
                }
                written.add(writing.get());
                kept.keep(trip, entry.id(), true, clock.instant(), entry.by());
              });
    } catch (UnusableInputException e) {
      throw new RefusedEntryException(
          clockOf -> "With it the tank's record cannot be: " + e.getMessage());
    }
    return written.isEmpty() ? writeAlone(trip, entry, writing) : written.get(0);
  }

  /** Where the tank's record stays as it is; asked about if something is open then. */
  private Optional<TripLog> writeAlone(
      String trip, TripEntry entry, Supplier<Optional<TripLog>> writing) {
    return trips.atOnce(
        () -> {
          boolean isFollowed = following(trip, entry).isPresent();
          Optional<TripLog> after = writing.get();
          if (isFollowed && entry instanceof Unloaded) { // others that are in it may be the trip's
            kept.keep(trip, entry.id() + ALONE, false, clock.instant(), entry.by());
          }
          if (isFollowed && after.filter(log -> isOpen(log, entry)).isEmpty()) {
            kept.keep(trip, entry.id(), false, clock.instant(), entry.by());
          }
          return after;
        });
  }

  /** Whether the record should say something else by a trip that ends with an entry, just now. */
  private boolean isOpen(TripLog log, TripEntry last) {
    Optional<Alone> alone = // what this very turn has kept is not to be read before its end
        last instanceof Unloaded
            ? Optional.of(new Alone(last.id(), Long.MAX_VALUE))
            : Optional.empty();
    TankAccount account = account(log, farm.version().farm(), alone);
    return !log.isUnderWay() && !account.settled().equals(account.now());
  }

  private Farm after(TripLog before, TripEntry entry, Farm now) {
    TripLog log = entry instanceof Unloaded ? before : before.with(entry);
    TankAccount account = account(log, now);
    return with(
        now, log, entry instanceof Unloaded ? account.out() : account.along(before.loaded()));
  }

  /** The trip as it is before an entry that the tank's record goes along with at once. */
  private Optional<TripLog> following(String trip, TripEntry entry) {
    boolean isOne =
        entry instanceof Unloaded
            ? entry.corrects().isEmpty()
            : entry instanceof Loaded && entry.corrects().isPresent();
    return isOne
        ? trips
            .trip(trip)
            .filter(log -> isOurs(log.trip()) && log.isUnderWay())
            .filter(log -> log.entries().stream().noneMatch(e -> e.id().equals(entry.id())))
        : Optional.empty();
  }

  /** What the tank's record could say after the last entry that it has not followed yet. */
  Optional<TankOffer> offer(TripLog log) {
    FarmVersion now = farm.version();
    Optional<Tank> tank = now.farm().tank(log.trip().tank().id());
    Instant until = log.to(clock.instant()).plus(OFFERED);
    @Nullable TripEntry last = last(log);
    if (!isOurs(log.trip())
        || log.isUnderWay()
        || last == null
        || tank.isEmpty()
        || clock.instant().isAfter(until)) {
      return Optional.empty();
    }
    Optional<String> asked = asked(last, kept.of(log.trip().id()));
    if (asked.isEmpty()) {
      return Optional.empty();
    }
    List<Tank.Load> then = account(log, now.farm()).settled();
    return then.equals(tank.get().loads())
        ? Optional.empty()
        : Optional.of(new TankOffer(asked.get(), now.number(), tank.get(), then));
  }

  /**
   * The name under which the tank is asked about after the last entry; empty where that is settled.
   * With an unloading that the record went along with at once, some of it can still be open.
   */
  private static Optional<String> asked(TripEntry last, Map<String, OptionalLong> settled) {
    if (!settled.containsKey(last.id())) {
      return Optional.of(last.id());
    }
    boolean wentAlong = last instanceof Unloaded && settled.get(last.id()).isPresent();
    return Optional.of(last.id() + REST).filter(rest -> wentAlong && !settled.containsKey(rest));
  }

  /**
   * Does what was offered, or leaves the tank as it is; nothing where just that was done already.
   *
   * @param basedOn the farm's version that the offer was seen with
   */
  void settle(TripLog log, String entry, boolean isTaken, long basedOn, String by) {
    if (isSettled(log, entry, isTaken)) {
      return;
    }
    TankOffer offer =
        offer(log).filter(o -> o.entry().equals(entry)).orElseThrow(TripTanks::changed);
    Runnable keeping =
        () -> {
          if (!isSettled(log, entry, isTaken)) { // somebody else may have answered just now
            kept.keep(log.trip().id(), entry, isTaken, clock.instant(), by);
          }
        };
    if (isTaken) {
      try {
        var unused =
            farm.change(OptionalLong.of(basedOn), by, now -> with(now, log, offer.then()), keeping);
      } catch (RefusedActException e) { // it may be that somebody else said the same just now
        if (!isSettled(log, entry, true)) {
          throw e;
        }
      }
    } else {
      var unused =
          trips.atOnce(
              () -> {
                keeping.run();
                return log;
              });
    }
  }

  /**
   * Whether it was answered so before.
   *
   * @throws RefusedEntryException if it was answered otherwise
   */
  private boolean isSettled(TripLog log, String entry, boolean isTaken) {
    Optional<Boolean> taken =
        Optional.ofNullable(kept.of(log.trip().id()).get(entry)).map(OptionalLong::isPresent);
    if (taken.isPresent() && taken.get() != isTaken) {
      throw new RefusedEntryException(
          clockOf ->
              "Somebody has answered meanwhile: the record of %s %s. It says %s now."
                  .formatted(
                      log.trip().tank().name(),
                      taken.get() ? "was changed by the trip" : "stays as it is",
                      farm.version()
                          .farm()
                          .tank(log.trip().tank().id())
                          .map(FarmChanges::fish)
                          .orElse("nothing")));
    }
    return taken.isPresent();
  }

  private static RefusedEntryException changed() {
    return new RefusedEntryException(
        clockOf -> "The tank or the trip has changed meanwhile. Look at the trip again.");
  }

  private static boolean isOurs(Trip trip) {
    return trip.kind() == Trip.Kind.ROAD && !trip.tank().isOfOtherFarm();
  }

  private static @Nullable TripEntry last(TripLog log) {
    @Nullable TripEntry last = null;
    for (TripEntry entry : log.entries()) {
      if (entry instanceof Withdrawn
          || (entry instanceof Loaded && entry.corrects().isPresent())
          || (entry instanceof Unloaded && entry.corrects().isEmpty())) {
        last = entry;
      }
    }
    return last;
  }

  private TankAccount account(TripLog log, Farm now) {
    return account(log, now, alone(log));
  }

  private TankAccount account(TripLog log, Farm now, Optional<Alone> unloading) {
    String tank = log.trip().tank().id();
    Map<Long, String> made = new HashMap<>();
    kept.of(log.trip().id())
        .forEach((entry, version) -> version.ifPresent(v -> made.put(v, entry)));
    List<FarmVersion> since = versions.inForce(log.from(), clock.instant());
    List<TankAccount.Step> steps = new ArrayList<>();
    List<Tank.Load> before = loads(since.isEmpty() ? now : since.get(0).farm(), tank);
    List<Tank.Load> atLoading = before;
    Optional<Alone> alone = unloading;
    for (FarmVersion version : since) {
      if (alone.isPresent() && version.number() > alone.get().version()) {
        steps.add(alone.get().step(before));
        alone = Optional.empty();
      }
      List<Tank.Load> after = loads(version.farm(), tank);
      if (!after.equals(before)) {
        steps.add(
            new TankAccount.Step(before, after, Optional.ofNullable(made.get(version.number()))));
      }
      before = after;
    }
    if (alone.isPresent()) {
      steps.add(alone.get().step(before));
    }
    return new TankAccount(log, atLoading, steps);
  }

  /**
   * An unloading that was written here and took nothing out of the record.
   *
   * @param entry its id
   * @param version the farm's then
   */
  private record Alone(String entry, long version) {

    TankAccount.Step step(List<Tank.Load> there) {
      return new TankAccount.Step(there, there, Optional.of(entry));
    }
  }

  private Optional<Alone> alone(TripLog log) {
    Map<String, OptionalLong> ofTrip = kept.of(log.trip().id());
    for (TripEntry entry : log.entries()) {
      if (ofTrip.containsKey(entry.id() + ALONE)) {
        return Optional.of(
            new Alone(entry.id(), kept.versionAt(log.trip().id(), entry.id() + ALONE)));
      }
    }
    return Optional.empty();
  }

  private static List<Tank.Load> loads(Farm farm, String tank) {
    return farm.tank(tank).map(Tank::loads).orElse(List.of());
  }

  private static Farm with(Farm farm, TripLog log, List<Tank.Load> loads) {
    String id = log.trip().tank().id();
    return new Farm(
        farm.name(),
        farm.altitudeM(),
        farm.tanks().stream()
            .map(tank -> tank.id().equals(id) ? tank.withLoads(loads) : tank)
            .toList());
  }
}
