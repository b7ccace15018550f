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
import java.util.function.Function;
import java.util.function.Supplier;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.book.TripRecords;
import opercle.analysis.book.TripTankRecords;
import opercle.analysis.farm.Farm;
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
   * Writes an entry with what the tank's record says after it, both or neither.
   *
   * @param before the trip, of which this farm has the tank
   * @param writing writes the entry
   */
  Optional<TripLog> write(TripLog before, TripEntry entry, Supplier<Optional<TripLog>> writing) {
    Optional<Function<TankAccount, List<Tank.Load>>> follows = follows(before, entry);
    if (follows.isEmpty()) {
      return trips.atOnce(writing);
    }
    boolean isOut = entry instanceof Unloaded;
    TripLog log = isOut ? before : before.with(entry);
    List<Optional<TripLog>> written = new ArrayList<>();
    try {
      var unused =
          farm.change(
              OptionalLong.empty(),
              entry.by(),
              now -> with(now, log, follows.get().apply(account(log, now))),
              () -> {
                written.add(writing.get());
                keep(before, entry, true, entry.by());
              });
    } catch (UnusableInputException e) {
      throw new RefusedEntryException(
          clockOf -> "With it the tank's record cannot be: " + e.getMessage());
    }
    if (!written.isEmpty()) {
      return written.get(0);
    }
    return trips.atOnce(
        () -> {
          Optional<TripLog> after = writing.get();
          keep(before, entry, false, entry.by());
          return after;
        });
  }

  /** What the tank's record says after an entry that it goes along with at once. */
  private static Optional<Function<TankAccount, List<Tank.Load>>> follows(
      TripLog before, TripEntry entry) {
    if (!isOurs(before.trip()) || !before.isUnderWay()) {
      return Optional.empty();
    }
    if (entry instanceof Unloaded && entry.corrects().isEmpty()) {
      return Optional.of(TankAccount::out);
    }
    return entry instanceof Loaded && entry.corrects().isPresent()
        ? Optional.of(account -> account.along(before.loaded()))
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
        || clock.instant().isAfter(until)
        || kept.of(log.trip().id()).containsKey(last.id())) {
      return Optional.empty();
    }
    List<Tank.Load> then = account(log, now.farm()).settled();
    return then.equals(tank.get().loads())
        ? Optional.empty()
        : Optional.of(new TankOffer(last.id(), now.number(), tank.get(), then));
  }

  /**
   * Does what was offered, or leaves the tank as it is; nothing where that was done already.
   *
   * @param basedOn the farm's version that the offer was seen with
   */
  void settle(TripLog log, String entry, boolean isTaken, long basedOn, String by) {
    Optional<TankOffer> offer = offer(log).filter(o -> o.entry().equals(entry));
    if (offer.isEmpty()) {
      if (kept.of(log.trip().id()).containsKey(entry)) {
        return;
      }
      throw new RefusedEntryException(
          clockOf -> "The tank or the trip has changed meanwhile. Look at the trip again.");
    }
    String trip = log.trip().id();
    if (!isTaken) {
      kept.keep(trip, entry, false, clock.instant(), by);
      return;
    }
    var unused =
        farm.change(
            OptionalLong.of(basedOn),
            by,
            now -> with(now, log, offer.get().then()),
            () -> kept.keep(trip, entry, true, clock.instant(), by));
  }

  private void keep(TripLog log, TripEntry entry, boolean changed, String by) {
    kept.keep(log.trip().id(), entry.id(), changed, clock.instant(), by);
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
    String tank = log.trip().tank().id();
    Map<Long, String> made = new HashMap<>();
    kept.of(log.trip().id())
        .forEach((entry, version) -> version.ifPresent(v -> made.put(v, entry)));
    List<FarmVersion> since = versions.inForce(log.from(), clock.instant());
    List<TankAccount.Step> steps = new ArrayList<>();
    List<Tank.Load> before = loads(since.isEmpty() ? now : since.get(0).farm(), tank);
    List<Tank.Load> atLoading = before;
    for (FarmVersion version : since) {
      List<Tank.Load> after = loads(version.farm(), tank);
      if (!after.equals(before)) {
        steps.add(
            new TankAccount.Step(before, after, Optional.ofNullable(made.get(version.number()))));
      }
      before = after;
    }
    return new TankAccount(log, atLoading, steps);
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
