// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;

/**
 * Withdrawal periods that have not ended, as the vet told them. None is worked out here. Where the
 * vet's last day was not noted a period counts as running, unless the words are {@link #NONE}:
 * nothing noted is not the same as nothing to wait for.
 *
 * <p>Fish that were moved since take theirs with them, from tank to tank, as far as that was
 * written down: at a tank, or as a movement between waters of which both are tanks. They mix with
 * those that are there, so that afterwards it counts for the whole tank.
 */
public final class Withdrawals {

  /** What stands in the vet's words where the vet said that there is no period. */
  public static final String NONE = "none";

  private final List<TankEntry.Treatment> treatments;
  private final List<Move> moves;

  private Withdrawals(Records records) {
    this.treatments =
        records.standing(TankEntry.Treatment.class).stream().map(Standing::entry).toList();
    this.moves = moves(records);
  }

  /**
   * Treatments whose period runs on a day for what is in a tank, in the order of recording.
   *
   * @param tank its id
   * @param day at the farm
   */
  public static List<TankEntry.Treatment> running(Records records, String tank, LocalDate day) {
    return new Withdrawals(records).of(Place.named(tank), Instant.MAX, day);
  }

  /**
   * Those that fish which leave a water at a time may be under. A water is a tank if it says so, or
   * if it is called what the tank is.
   */
  static List<TankEntry.Treatment> of(Records records, Water water, Instant leaves, LocalDate day) {
    return new Withdrawals(records).of(Place.of(water), leaves, day);
  }

  private List<TankEntry.Treatment> of(Place place, Instant until, LocalDate day) {
    Set<TankEntry.Treatment> found = new HashSet<>();
    carried(place, until, found, new HashSet<>());
    return treatments.stream().filter(t -> found.contains(t) && isRunning(t, day)).toList();
  }

  private void carried(
      Place place, Instant until, Set<TankEntry.Treatment> found, Set<Move> followed) {
    treatments.stream()
        .filter(t -> Place.of(t.where()).is(place) && !t.where().time().isAfter(until))
        .forEach(found::add);
    for (Move move : moves) {
      // What fish brought does not depend on what came after them, so each move is followed once.
      if (move.to().is(place) && !move.time().isAfter(until) && followed.add(move)) {
        carried(move.from(), move.time(), found, followed);
      }
    }
  }

  private static List<Move> moves(Records records) {
    List<Move> moves = new ArrayList<>();
    records.standing(TankEntry.Moved.class).stream()
        .map(Standing::entry)
        .forEach(
            m ->
                moves.add(
                    new Move(m.where().time(), Place.of(m.where()), Place.of(m.to(), m.toName()))));
    records.standing(Movement.class).stream()
        .map(Standing::entry)
        .forEach(
            m ->
                m.from()
                    .flatMap(from -> place(records, from))
                    .ifPresent(
                        from ->
                            m.to()
                                .flatMap(to -> place(records, to))
                                .ifPresent(to -> moves.add(new Move(m.departs(), from, to)))));
    return moves;
  }

  private static Optional<Place> place(Records records, String water) {
    return records.find(Water.class, water).map(Standing::entry).map(Place::of);
  }

  private static boolean isRunning(TankEntry.Treatment treatment, LocalDate day) {
    return treatment.until().isPresent()
        ? treatment.runsOn(day)
        : !treatment.withdrawal().map(words -> words.strip().equalsIgnoreCase(NONE)).orElse(false);
  }

  /** Fish that went from one place to another. */
  private record Move(Instant time, Place from, Place to) {}

  /**
   * A tank, or a water that may be one.
   *
   * @param names what it is called, in small letters; two that share one are the same
   */
  private record Place(Set<String> names) {

    static Place named(String name) {
      return new Place(Set.of(name.toLowerCase(Locale.ROOT)));
    }

    static Place of(String tank, Optional<String> name) {
      Set<String> names = new HashSet<>(named(tank).names());
      name.ifPresent(n -> names.add(n.toLowerCase(Locale.ROOT)));
      return new Place(names);
    }

    static Place of(TankEntry.Where where) {
      return of(where.tank(), where.name());
    }

    static Place of(Water water) {
      return named(water.tank().orElse(water.name()));
    }

    boolean is(Place other) {
      return names.stream().anyMatch(other.names()::contains);
    }
  }
}
