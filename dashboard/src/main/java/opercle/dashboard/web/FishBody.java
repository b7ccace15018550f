// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.TankEntry;
import opercle.analysis.stock.Species;
import org.jspecify.annotations.Nullable;

/**
 * What somebody does with the fish of a tank: {@code add}, {@code take} or {@code empty}.
 *
 * @param what which
 * @param species which fish; common carp stands where none are meant
 * @param kg how much, kg
 * @param count how many, where known
 * @param since since when those added are held; when those that are moved were
 * @param into the id of the tank that those which are taken go into; empty: out of the farm's tanks
 */
record FishBody(
    What what,
    Species species,
    double kg,
    OptionalInt count,
    Instant since,
    Optional<String> into) {

  private static final double MOST_KG = 100_000;
  private static final int MOST_FISH = 10_000_000;

  enum What {
    ADD,
    TAKE,
    EMPTY
  }

  /**
   * Reads what was sent.
   *
   * @throws Problem with every field that is wrong
   */
  static FishBody of(JsonNode body, Instant now) {
    What what =
        switch (body.path("do").asText("")) {
          case "add" -> What.ADD;
          case "take" -> What.TAKE;
          case "empty" -> What.EMPTY;
          default -> throw Problem.misread("'do' must be add, take or empty.");
        };
    if (what == What.EMPTY) {
      return new FishBody(
          what, Species.COMMON_CARP, 0.0, OptionalInt.empty(), now, Optional.empty());
    }
    List<Problem.Field> wrong = new ArrayList<>();
    @Nullable Species species = null;
    for (Species s : Species.values()) {
      if (s.id().equals(body.path("species").asText(""))) {
        species = s;
      }
    }
    if (species == null) {
      wrong.add(field(body, "species", "a kind of fish that is known here", ""));
    }
    double kg = body.path("kg").asDouble(Double.NaN);
    if (!body.path("kg").isNumber() || !(kg > 0.0 && kg <= MOST_KG)) {
      wrong.add(field(body, "kg", "a number above 0 and up to 100000", "kg"));
    }
    OptionalInt count = OptionalInt.empty();
    if (body.hasNonNull("count")) {
      int number = body.path("count").isIntegralNumber() ? body.path("count").asInt() : 0;
      if (number < 1 || number > MOST_FISH) {
        wrong.add(field(body, "count", "a whole number from 1 to 10000000", "fish"));
      }
      count = OptionalInt.of(number);
    }
    Instant since = now;
    if (body.hasNonNull("since")) {
      Optional<Instant> said = time(body.path("since").asText());
      if (said.isEmpty() || said.get().isAfter(now)) {
        wrong.add(
            field(body, "since", "a time since 1970 with its offset that is not to come", ""));
      }
      since = said.orElse(now);
    }
    Optional<String> into =
        what == What.TAKE
            ? Optional.of(body.path("into").asText("")).filter(id -> !id.isEmpty())
            : Optional.empty();
    if (!wrong.isEmpty() || species == null) {
      throw Problem.badFields(wrong);
    }
    return new FishBody(what, species, kg, count, since, into);
  }

  private static Optional<Instant> time(String text) {
    try {
      return Optional.of(OffsetDateTime.parse(text).toInstant()).filter(Span::isThinkable);
    } catch (DateTimeParseException e) {
      return Optional.empty();
    }
  }

  /**
   * The tank afterwards.
   *
   * @throws Problem if more is taken than is there
   */
  Tank on(Tank tank) {
    return tank.withLoads(
        switch (what) {
          case ADD ->
              Stocking.with(tank.loads(), new Tank.Load(species, kg, count, Optional.of(since)));
          case TAKE -> taken(tank);
          case EMPTY -> List.of();
        });
  }

  /**
   * The tank that they go into, afterwards; how long they are held already goes with them.
   *
   * @param from as it was
   */
  Tank arrived(Tank from, Tank to) {
    if (from.id().equals(to.id())) {
      throw Problem.badFields(List.of(new Problem.Field("/into", to.id(), "another tank", "")));
    }
    Optional<Instant> held =
        from.loads().stream()
            .filter(l -> l.species() == species)
            .flatMap(l -> l.since().stream())
            .min(Comparator.naturalOrder());
    return to.withLoads(Stocking.with(to.loads(), new Tank.Load(species, kg, count, held)));
  }

  /** The same for the records. */
  TankEntry.Moved move(Tank from, Tank to) {
    return new TankEntry.Moved(
        new TankEntry.Where(from.id(), Optional.of(from.name()), since),
        to.id(),
        Optional.of(to.name()),
        Optional.of(species.commonName()),
        OptionalDouble.of(kg),
        Optional.empty());
  }

  private List<Tank.Load> taken(Tank tank) {
    double there = Stocking.kg(tank.loads(), species);
    List<Problem.Field> wrong = new ArrayList<>();
    if (there <= 0.0) {
      wrong.add(new Problem.Field("/species", species.id(), "one that is in the tank", ""));
    } else if (kg > there) {
      wrong.add(new Problem.Field("/kg", plain(kg), "at most " + plain(there), "kg"));
    }
    OptionalInt counted = Stocking.count(tank.loads(), species);
    if (count.isPresent()
        && counted.isPresent()
        && kg < there
        && count.getAsInt() >= counted.getAsInt()) {
      wrong.add(
          new Problem.Field(
              "/count",
              Integer.toString(count.getAsInt()),
              "fewer than the %d in the tank, or all of their weight".formatted(counted.getAsInt()),
              "fish"));
    }
    if (!wrong.isEmpty()) {
      throw Problem.badFields(wrong);
    }
    return Stocking.without(tank.loads(), species, kg, count);
  }

  private static Problem.Field field(JsonNode body, String name, String limit, String unit) {
    JsonNode sent = body.path(name);
    String value = sent.isMissingNode() || sent.isNull() ? "missing" : sent.asText();
    return new Problem.Field("/" + name, value, limit, unit);
  }

  private static String plain(double value) {
    return value == Math.rint(value) ? Long.toString((long) value) : Double.toString(value);
  }
}
