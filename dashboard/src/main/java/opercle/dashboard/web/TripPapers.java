// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import java.util.stream.Stream;
import opercle.analysis.book.RecordBook;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Movement;
import opercle.analysis.records.MovementCheck;
import opercle.analysis.records.Prompt;
import opercle.analysis.records.Records;
import opercle.analysis.records.Standing;
import opercle.analysis.setup.LoadOnRecord;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.Trip;

/**
 * What the papers of a trip lack, for the hours of the trip and not for those of its movement's
 * record alone. It prompts, and the person decides. Reads the disk.
 */
final class TripPapers {

  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("d MMM uuuu", Locale.ENGLISH);

  private static final String NO_RECORD =
      "No movement record goes with this trip, so no papers were looked at.";

  /** A movement is offered to a trip for so long before and after it leaves (ours). */
  private static final Duration TO_GO = Duration.ofDays(2);

  private final Supplier<Optional<RecordBook>> work;
  private final List<Tank> tanks;
  private final ZoneId zone;
  private final Instant now;

  /**
   * @param work the records; empty where there are none here
   * @param tanks of the farm, as they stand
   * @param zone where the farm is, for its days
   * @param now when a trip would begin
   */
  TripPapers(Supplier<Optional<RecordBook>> work, List<Tank> tanks, ZoneId zone, Instant now) {
    this.work = work;
    this.tanks = tanks;
    this.zone = zone;
    this.now = now;
  }

  /**
   * A recorded movement that a trip may be about to make.
   *
   * @param species the kind of fish, where its name is one that is known here
   * @param prompts what its papers lack, each a sentence
   * @param aboard by transport tank, what it does not say of the fish that are in it now
   */
  record ToGo(
      String id,
      String title,
      Optional<Species> species,
      List<String> prompts,
      Map<String, List<String>> aboard) {}

  /**
   * Movements that leave about now, the next one first; none where there are no records. Their
   * papers are looked at for the hours that are recorded and for a trip that begins now.
   *
   * @param minutes on the road, where that was said
   */
  List<ToGo> toGo(OptionalDouble minutes) {
    Instant from = now.minus(TO_GO);
    Instant to = now.plus(TO_GO);
    return work.get()
        .map(RecordBook::records)
        .map(
            records ->
                records.standing(Movement.class).stream()
                    .filter(m -> m.entry().departs().isAfter(from))
                    .filter(m -> m.entry().departs().isBefore(to))
                    .sorted(Comparator.comparing(m -> m.entry().departs()))
                    .map(m -> toGo(records, m, minutes))
                    .toList())
        .orElse(List.of());
  }

  private ToGo toGo(Records records, Standing<Movement> movement, OptionalDouble minutes) {
    Movement recorded = movement.entry();
    Duration takes =
        minutes.isPresent()
            ? Duration.ofSeconds(Math.round(60.0 * minutes.getAsDouble()))
            : Duration.between(recorded.departs(), recorded.arrives());
    List<String> prompts =
        Stream.of(recorded, recorded.during(now, now.plus(takes)))
            .flatMap(m -> MovementCheck.of(records, m, zone).stream())
            .map(Prompt::words)
            .distinct()
            .toList();
    Optional<Species> species =
        Stream.of(Species.values()).filter(s -> s.isCalled(recorded.species())).findFirst();
    return new ToGo(movement.id(), recorded.title(), species, prompts, aboard(recorded));
  }

  private Map<String, List<String>> aboard(Movement recorded) {
    Map<String, List<String>> aboard = new LinkedHashMap<>();
    for (Tank tank : tanks) {
      if (tank.kind() == Tank.Kind.TRANSPORT && tank.isStocked()) {
        aboard.put(tank.id(), LoadOnRecord.lacks(tank.loads(), List.of(recorded)));
      }
    }
    return aboard;
  }

  /**
   * Refuses a trip under a record that is none of the farm's; where no records are kept here nobody
   * knows.
   */
  void requireKnown(Trip trip) {
    Optional<Records> records = work.get().map(RecordBook::records);
    if (records.isEmpty()) {
      return;
    }
    List<Problem.Field> unknown =
        trip.movements().stream()
            .filter(
                id -> records.get().find(Movement.class, id).filter(m -> !m.withdrawn()).isEmpty())
            .map(
                id ->
                    new Problem.Field(
                        trip.movementRecord().filter(id::equals).isPresent()
                            ? "/movementRecord"
                            : "/otherMovements",
                        id,
                        "one that stands in the records: choose again",
                        ""))
            .toList();
    if (!unknown.isEmpty()) {
      throw Problem.badFields(unknown);
    }
  }

  /**
   * What the papers of a trip on the road lack by the hours that it really took, a sentence each.
   */
  List<String> of(Review review) {
    Trip trip = review.log().trip();
    if (trip.kind() != Trip.Kind.ROAD || trip.tank().isOfOtherFarm()) {
      return List.of();
    }
    if (trip.movements().isEmpty()) {
      return List.of(NO_RECORD);
    }
    return work.get()
        .map(RecordBook::records)
        .map(records -> papers(records, review))
        .orElse(List.of());
  }

  private List<String> papers(Records records, Review review) {
    Trip trip = review.log().trip();
    List<String> lacks = new ArrayList<>();
    List<Movement> known = new ArrayList<>();
    for (String id : trip.movements()) {
      Optional<Standing<Movement>> movement = records.find(Movement.class, id);
      movement.ifPresent(m -> known.add(m.entry()));
      lacks.addAll(
          movement
              .map(m -> papers(records, m, review))
              .orElse(
                  List.of(
                      "The movement record “%s” is not in the records here, so its papers were not looked at."
                          .formatted(id))));
    }
    if (!known.isEmpty()) {
      lacks.addAll(LoadOnRecord.lacks(trip.load(), known));
    }
    return lacks.stream().distinct().toList();
  }

  private List<String> papers(Records records, Standing<Movement> movement, Review review) {
    Movement recorded = movement.entry();
    Instant left = review.log().from();
    Duration takes =
        review.log().unloaded().isPresent()
            ? Duration.between(left, review.to())
            : review.log().trip().expectedMinutes().isPresent()
                ? Duration.ofMinutes(
                    (long) Math.ceil(review.log().trip().expectedMinutes().getAsDouble()))
                : Duration.between(recorded.departs(), recorded.arrives());
    List<String> lacks = new ArrayList<>();
    if (movement.withdrawn()) {
      lacks.add("The movement record was withdrawn.");
    }
    if (!day(recorded.departs()).equals(day(left))) {
      lacks.add(
          "The movement record has the fish leave on %s; they left on %s."
              .formatted(DAY.format(day(recorded.departs())), DAY.format(day(left))));
    }
    MovementCheck.of(records, recorded.during(left, left.plus(takes)), zone).stream()
        .map(Prompt::words)
        .forEach(lacks::add);
    return lacks;
  }

  private LocalDate day(Instant time) {
    return LocalDate.ofInstant(time, zone);
  }
}
