// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import opercle.analysis.records.Prompt.What;

/**
 * What a movement's papers lack, and which of them end before the fish arrive. Whether the movement
 * may be made it does not say: it prompts, and the person decides.
 *
 * <p>A last day counts to its end at the farm. A paper without a last day is taken to have none.
 */
public final class MovementCheck {

  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("d MMM uuuu", Locale.ENGLISH);
  private static final double OWN_LORRY_KM = 65.0;

  private final Records records;
  private final Movement movement;
  private final ZoneId zone;
  private final LocalDate leaving;
  private final LocalDate arrival;
  private final Optional<Standing<Water>> from;
  private final Optional<Standing<Water>> to;
  private final List<Prompt> prompts = new ArrayList<>();

  private MovementCheck(Records records, Movement movement, ZoneId zone) {
    this.records = records;
    this.movement = movement;
    this.zone = zone;
    this.leaving = LocalDate.ofInstant(movement.departs(), zone);
    this.arrival = LocalDate.ofInstant(movement.arrives(), zone);
    this.from = movement.from().flatMap(id -> records.find(Water.class, id));
    this.to = movement.to().flatMap(id -> records.find(Water.class, id));
  }

  /**
   * Looks at a movement.
   *
   * @param records what is recorded besides
   * @param zone where the farm is, for its days
   * @return withdrawal periods that run first; the papers, in the order in which they are asked
   *     for, only where fish go from a water to a water
   */
  public static List<Prompt> of(Records records, Movement movement, ZoneId zone) {
    MovementCheck check = new MovementCheck(records, movement, zone);
    check.from.ifPresent(origin -> check.withdrawals(origin.entry()));
    movement.named().forEach(check::gone);
    if (check.from.isPresent() && check.to.isPresent()) {
      check.look(check.from.get(), check.to.get());
    }
    return List.copyOf(check.prompts);
  }

  /** What it names stands no more: it does not count, and is never left out in silence. */
  private void gone(Entry.Named named) {
    records
        .find(named.kind().type(), named.id())
        .filter(Standing::withdrawn)
        .ifPresent(
            standing -> {
              Recorded last = standing.versions().get(standing.versions().size() - 1);
              prompts.add(
                  Prompt.of(
                      named.kind() == Entry.Kind.HEALTH_CHECK
                          ? Need.HEALTH_CHECK
                          : Need.OTHER_PAPER,
                      What.WITHDRAWN,
                      "It names %s, which %s withdrew on %s%s: it does not count."
                          .formatted(
                              standing.entry().title(),
                              last.by(),
                              DAY.format(day(last.at())),
                              last.correction().map(c -> " (" + c.why() + ")").orElse(""))));
            });
  }

  private void look(Standing<Water> origin, Standing<Water> destination) {
    Water target = destination.entry();
    registration(Need.ORIGIN, origin);
    registration(Need.DESTINATION, destination);
    if (target.type().isInland()) {
      permit(Need.SITE_PERMIT, Permit.Type.SITE_PERMIT, destination);
      held(Need.SUPPLIER_PERMIT, Permit.Type.SUPPLIER_PERMIT, movement.papers().supplier());
      blank(Need.CONSIGNMENT_NOTE, movement.papers().consignmentNote(), "No consignment note");
      blank(
          Need.ADVANCE_NOTICE,
          movement.papers().advanceNotice(),
          "No advance notice is noted; for some movements there must be one");
      if (movement.count().isEmpty() || movement.kg().isEmpty()) {
        prompts.add(
            Prompt.of(
                Need.NUMBER_AND_WEIGHT,
                What.MISSING,
                "Only the %s is noted; a consignment note asks for both number and weight."
                    .formatted(movement.count().isPresent() ? "number" : "weight")));
      }
    }
    healthChecks(origin, target);
    if (movement.means().distanceKm().isEmpty() && !isOneSite(origin.entry(), target)) {
      prompts.add(
          Prompt.of(
              Need.TRANSPORTER,
              What.NOT_SAID,
              "Not said how far by road; beyond 65 km a transporter authorisation is asked for."));
    } else if (movement.means().distanceKm().orElse(0.0) > OWN_LORRY_KM) {
      held(Need.TRANSPORTER, Permit.Type.TRANSPORTER_AUTHORISATION, movement.means().carrier());
    }
    others();
    blank(
        Need.DISINFECTION,
        movement.disinfection(),
        "No cleaning and disinfection before the fish left is noted");
  }

  private void withdrawals(Water origin) {
    for (TankEntry.Treatment t : Withdrawals.of(records, origin, movement.departs(), leaving)) {
      String given =
          "Fish of %s were given %s on %s"
              .formatted(origin.name(), t.what(), DAY.format(day(t.where().time())));
      prompts.add(
          new Prompt(
              Need.WITHDRAWAL,
              t.until().isPresent() ? What.RUNS : What.NOT_SAID,
              t.until()
                  .map(
                      last ->
                          "%s; the vet's withdrawal period runs to %s, and they leave on %s. Ask the vet."
                              .formatted(given, DAY.format(last), DAY.format(leaving)))
                  .orElseGet(
                      () ->
                          "%s with a withdrawal period whose last day is not noted. Ask the vet."
                              .formatted(given)),
              Optional.empty(),
              t.until()));
    }
  }

  private void registration(Need need, Standing<Water> water) {
    switch (water.entry().type()) {
      case POND, TANK -> permit(need, Permit.Type.FARM_AUTHORISATION, water);
      case FISHERY -> permit(need, Permit.Type.FISHERY_REGISTRATION, water);
      case OPEN_WATER, GARDEN_POND -> {}
    }
  }

  private void permit(Need need, Permit.Type type, Standing<Water> water) {
    List<Permit> named = named(type);
    List<Permit> matching = named.stream().filter(p -> isFor(p, water)).toList();
    String name = water.entry().name();
    if (named.isEmpty()) {
      prompts.add(
          Prompt.of(need, What.MISSING, "No %s for %s is named.".formatted(type.words(), name)));
    } else if (matching.isEmpty()) {
      prompts.add(
          new Prompt(
              need,
              What.DOES_NOT_MATCH,
              "The %s is for another water or another site than %s."
                  .formatted(named.get(0).title(), name),
              Optional.of(named.get(0).reference()),
              named.get(0).until()));
    }
    matching.forEach(p -> dates(need, p));
  }

  private static boolean isOneSite(Water one, Water other) {
    return one.site().isPresent() && one.site().equals(other.site());
  }

  /**
   * A permit that must be the holder's own.
   *
   * @param holder a party; empty: the farm
   */
  private void held(Need need, Permit.Type type, Optional<String> holder) {
    List<Permit> named = named(type);
    Optional<String> first = party(holder);
    List<Permit> theirs = named.stream().filter(p -> party(p.party()).equals(first)).toList();
    if (named.isEmpty()) {
      prompts.add(Prompt.of(need, What.MISSING, "No %s is named.".formatted(type.words())));
    } else if (theirs.isEmpty()) {
      prompts.add(
          new Prompt(
              need,
              What.DOES_NOT_MATCH,
              "The %s is not that of %s."
                  .formatted(
                      named.get(0).title(), holder.map(records::title).orElse("the farm itself")),
              Optional.of(named.get(0).reference()),
              named.get(0).until()));
    }
    theirs.forEach(p -> dates(need, p));
  }

  /** The id under which a party was first recorded, by whichever of its ids. */
  private Optional<String> party(Optional<String> id) {
    return id.map(i -> records.find(Party.class, i).map(Standing::id).orElse(i));
  }

  private List<Permit> named(Permit.Type type) {
    return movement.papers().permits().stream()
        .flatMap(id -> records.find(Permit.class, id).stream())
        .filter(p -> !p.withdrawn() && p.entry().type() == type)
        .map(Standing::entry)
        .toList();
  }

  /** For that water, for another of its site, or for all that its holder or the farm has. */
  private boolean isFor(Permit permit, Standing<Water> water) {
    if (permit.water().isEmpty()) {
      return permit.party().equals(water.entry().holder());
    }
    Optional<Standing<Water>> named = records.find(Water.class, permit.water().get());
    return named.isPresent()
        && (named.get().id().equals(water.id())
            || (water.entry().site().isPresent()
                && named.get().entry().site().equals(water.entry().site())));
  }

  private void dates(Need need, Permit permit) {
    permit
        .from()
        .filter(first -> leaving.isBefore(first))
        .ifPresent(
            first ->
                prompts.add(
                    new Prompt(
                        need,
                        What.DOES_NOT_MATCH,
                        "The %s begins on %s, after the fish leave on %s."
                            .formatted(permit.title(), DAY.format(first), DAY.format(leaving)),
                        Optional.of(permit.reference()),
                        permit.until())));
    permit.until().ifPresent(last -> lapse(need, permit.title(), permit.reference(), last));
  }

  private void lapse(Need need, String title, String reference, LocalDate last) {
    if (last.isBefore(arrival)) {
      prompts.add(
          new Prompt(
              need,
              What.LAPSES,
              "The %s ends on %s, before the fish arrive on %s. Our reminder: check the document."
                  .formatted(title, DAY.format(last), DAY.format(arrival)),
              Optional.of(reference),
              Optional.of(last)));
    }
  }

  private void healthChecks(Standing<Water> origin, Water target) {
    List<HealthCheck> named =
        movement.papers().healthChecks().stream()
            .flatMap(id -> records.find(HealthCheck.class, id).stream())
            .filter(c -> !c.withdrawn())
            .map(Standing::entry)
            .toList();
    if (named.isEmpty()) {
      boolean open = target.type() == Water.Type.OPEN_WATER;
      if (open || (target.type().isInland() && target.connection() == Water.Connection.CONNECTED)) {
        prompts.add(
            Prompt.of(
                Need.HEALTH_CHECK,
                What.MISSING,
                "No health check of the %s of %s is named."
                    .formatted(movement.species(), origin.entry().name())));
      } else if (target.type().isInland() && target.connection() == Water.Connection.NOT_SAID) {
        prompts.add(
            Prompt.of(
                Need.HEALTH_CHECK,
                What.NOT_SAID,
                "Not said whether %s has an inlet or an outlet, or floods; no health check is named."
                    .formatted(target.name())));
      }
    }
    named.forEach(check -> healthCheck(check, origin));
  }

  private void healthCheck(HealthCheck check, Standing<Water> origin) {
    LocalDate last = records.healthRule().lastDay(check, records.isFarm(check));
    Optional<String> reference = Optional.of(check.reference());
    boolean ofThisWater =
        records.find(Water.class, check.water()).map(Standing::id).equals(Optional.of(origin.id()));
    if (!ofThisWater || !isSpecies(check.species(), movement.species())) {
      prompts.add(
          new Prompt(
              Need.HEALTH_CHECK,
              What.DOES_NOT_MATCH,
              "The %s is of %s from %s; these are %s from %s."
                  .formatted(
                      check.title(),
                      check.species(),
                      records.water(check.water()),
                      movement.species(),
                      origin.entry().name()),
              reference,
              Optional.of(last)));
    }
    if (check.sampled().isAfter(leaving)) {
      prompts.add(
          new Prompt(
              Need.HEALTH_CHECK,
              What.DOES_NOT_MATCH,
              "The sample of the %s is of %s, after the fish leave on %s."
                  .formatted(check.title(), DAY.format(check.sampled()), DAY.format(leaving)),
              reference,
              Optional.of(last)));
    }
    lapse(Need.HEALTH_CHECK, check.title(), check.reference(), last);
    cameSince(check, origin)
        .ifPresent(
            came ->
                prompts.add(
                    new Prompt(
                        Need.MIXED_AFTER_SAMPLE,
                        What.DOES_NOT_MATCH,
                        "More %s came into %s on %s, after the sample of the %s: it may not stand for these fish."
                            .formatted(
                                movement.species(),
                                origin.entry().name(),
                                DAY.format(day(came)),
                                check.title()),
                        reference,
                        Optional.of(last))));
  }

  /** The first arrival of such fish after the day of the sample, before these leave. */
  private Optional<Instant> cameSince(HealthCheck check, Standing<Water> origin) {
    Stream<Instant> moved =
        records.standing(Movement.class).stream()
            .map(Standing::entry)
            .filter(m -> isIt(m.to(), origin.id()))
            .filter(m -> isSpecies(m.species(), movement.species()))
            .map(Movement::arrives);
    Stream<Instant> fromTankToTank =
        records.standing(TankEntry.Moved.class).stream()
            .map(Standing::entry)
            .filter(m -> isTank(m, origin.entry()))
            .filter(m -> m.species().map(s -> isSpecies(s, movement.species())).orElse(true))
            .map(m -> m.where().time());
    return Stream.concat(moved, fromTankToTank)
        .filter(t -> day(t).isAfter(check.sampled()) && !t.isAfter(movement.departs()))
        .min(Instant::compareTo);
  }

  private static boolean isTank(TankEntry.Moved moved, Water water) {
    String tank = water.tank().orElse(water.name());
    return tank.equalsIgnoreCase(moved.to())
        || moved.toName().map(tank::equalsIgnoreCase).orElse(false);
  }

  /** Whether an entry is named that was first recorded under an id, by whichever of its ids. */
  private boolean isIt(Optional<String> named, String first) {
    return named
        .flatMap(id -> records.find(Water.class, id))
        .map(water -> water.id().equals(first))
        .orElse(false);
  }

  private static boolean isSpecies(String one, String other) {
    return Movement.key(one).equals(Movement.key(other));
  }

  private LocalDate day(Instant time) {
    return LocalDate.ofInstant(time, zone);
  }

  /** Papers that are named without being asked for still have their dates looked at. */
  private void others() {
    for (Permit.Type type :
        List.of(
            Permit.Type.NETTING_AUTHORISATION, Permit.Type.SPECIES_LICENCE, Permit.Type.OTHER)) {
      named(type).forEach(p -> dates(Need.OTHER_PAPER, p));
    }
  }

  private void blank(Need need, Optional<String> text, String words) {
    if (text.isEmpty()) {
      String ending = words.contains(" is noted") ? "." : " is noted.";
      prompts.add(Prompt.of(need, What.MISSING, words + ending));
    }
  }
}
