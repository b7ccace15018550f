// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;

/**
 * Fish of one species going from one water to another. Nothing but the fish, the way and the times
 * has to be known: what is not known stays blank.
 *
 * @param species which fish
 * @param count how many left
 * @param kg how much left, kg; one of the two is needed
 * @param from the {@link Water} they left; empty: they were first counted then and there
 * @param to the {@link Water} they came to; empty: they died or left the books otherwise
 * @param departs when they left
 * @param arrives when they came, or are expected
 * @param died deaths on the way; at most {@code count}
 * @param means how they travelled
 * @param papers under what they travelled
 * @param disinfection of what travelled: what, where, when, with what, by whom
 * @param waterChanged each exchange of water: where, from what source, where the old went
 * @param note anything else
 */
public record Movement(
    String species,
    OptionalLong count,
    OptionalDouble kg,
    Optional<String> from,
    Optional<String> to,
    Instant departs,
    Instant arrives,
    OptionalLong died,
    Means means,
    Papers papers,
    Optional<String> disinfection,
    Optional<String> waterChanged,
    Optional<String> note)
    implements Entry {

  private static final Duration LONGEST = Duration.ofDays(14);
  private static final double MOST_KG = 1.0e7;

  /**
   * How fish travelled.
   *
   * @param carrier the {@link Party} that carried them; empty: the farm
   * @param vehicle the vehicle and its tanks
   * @param distanceKm by road, km
   */
  public record Means(
      Optional<String> carrier, Optional<String> vehicle, OptionalDouble distanceKm) {

    /** Where nothing is known of it. */
    public static final Means NOT_SAID =
        new Means(Optional.empty(), Optional.empty(), OptionalDouble.empty());

    private static final double FARTHEST_KM = 20_000.0;

    public Means {
      vehicle = Limits.line("vehicle", vehicle);
      distanceKm = Limits.above0("distanceKm", distanceKm, FARTHEST_KM, "km");
    }
  }

  /**
   * Under what fish travelled.
   *
   * @param supplier the {@link Party} that supplied them; empty: the farm
   * @param receiver the {@link Party} that received them
   * @param permits ids of {@link Permit}s
   * @param healthChecks ids of {@link HealthCheck}s
   * @param consignmentNote its number
   * @param advanceNotice its reference and when it was sent
   */
  public record Papers(
      Optional<String> supplier,
      Optional<String> receiver,
      List<String> permits,
      List<String> healthChecks,
      Optional<String> consignmentNote,
      Optional<String> advanceNotice) {

    /** None. */
    public static final Papers NONE =
        new Papers(
            Optional.empty(),
            Optional.empty(),
            List.of(),
            List.of(),
            Optional.empty(),
            Optional.empty());

    private static final int MOST = 20;

    public Papers {
      permits = some("permits", permits);
      healthChecks = some("healthChecks", healthChecks);
      consignmentNote = Limits.line("consignmentNote", consignmentNote);
      advanceNotice = Limits.line("advanceNotice", advanceNotice);
    }

    private static List<String> some(String field, List<String> ids) {
      if (ids.size() > MOST) {
        throw new WrongFieldException(
            field, "must be at most %d but are %d".formatted(MOST, ids.size()));
      }
      return List.copyOf(ids);
    }
  }

  public Movement {
    species = Limits.line("species", species);
    count = Limits.fish("count", count, 1);
    kg = Limits.above0("kg", kg, MOST_KG, "kg");
    if (count.isEmpty() && kg.isEmpty()) {
      throw new WrongFieldException(
          "count",
          "how many or how heavy must be said; give count or kg",
          "how many or how heavy must be said");
    }
    if (from.isEmpty() && to.isEmpty()) {
      throw new WrongFieldException("to", "at least one of the two waters must be named");
    }
    if (from.isPresent() && from.equals(to)) {
      throw new WrongFieldException(
          "to", "must be another water than from", "must be another water than they come from");
    }
    if (arrives.isBefore(departs) || Duration.between(departs, arrives).compareTo(LONGEST) > 0) {
      String rule = "must be 0–%d days after ".formatted(LONGEST.toDays());
      throw new WrongFieldException(
          "arrives",
          rule + "departs, %s, but was %s".formatted(departs, arrives),
          rule + "they left, %s, but was %s",
          departs,
          arrives);
    }
    died = Limits.fish("died", died, 0);
    if (died.isPresent() && count.isPresent() && died.getAsLong() > count.getAsLong()) {
      throw new WrongFieldException(
          "died",
          "must be at most count, %d fish, but was %d"
              .formatted(count.getAsLong(), died.getAsLong()),
          "must be at most the %d fish that went".formatted(count.getAsLong()));
    }
    disinfection = Limits.note("disinfection", disinfection);
    waterChanged = Limits.note("waterChanged", waterChanged);
    note = Limits.note("note", note);
  }

  /**
   * The same fish under the same papers at other hours, as they really travelled.
   *
   * @param left when they left
   * @param came when they came, or are expected; not before they left, at most 14 days after it
   */
  public Movement during(Instant left, Instant came) {
    return new Movement(
        species,
        count,
        kg,
        from,
        to,
        left,
        came,
        died,
        means,
        papers,
        disinfection,
        waterChanged,
        note);
  }

  /** The same with so many deaths on the way; at most {@link #count}. */
  public Movement withDied(OptionalLong deaths) {
    return new Movement(
        species,
        count,
        kg,
        from,
        to,
        departs,
        arrives,
        deaths,
        means,
        papers,
        disinfection,
        waterChanged,
        note);
  }

  /** A species' name as it is compared: case and blanks do not count. */
  static String key(String species) {
    return species.strip().toLowerCase(Locale.ROOT).replaceAll("\\s+", " ");
  }

  @Override
  public Kind kind() {
    return Kind.MOVEMENT;
  }

  @Override
  public List<Named> named() {
    List<Named> named = new ArrayList<>();
    from.ifPresent(id -> named.add(new Named("from", Kind.WATER, id)));
    to.ifPresent(id -> named.add(new Named("to", Kind.WATER, id)));
    means.carrier().ifPresent(id -> named.add(new Named("carrier", Kind.PARTY, id)));
    papers.supplier().ifPresent(id -> named.add(new Named("supplier", Kind.PARTY, id)));
    papers.receiver().ifPresent(id -> named.add(new Named("receiver", Kind.PARTY, id)));
    papers.permits().forEach(id -> named.add(new Named("permits", Kind.PERMIT, id)));
    papers
        .healthChecks()
        .forEach(id -> named.add(new Named("healthChecks", Kind.HEALTH_CHECK, id)));
    return List.copyOf(named);
  }

  @Override
  public String title() {
    StringBuilder title = new StringBuilder();
    count.ifPresent(n -> title.append(n).append(' '));
    title.append(species);
    kg.ifPresent(mass -> title.append(String.format(Locale.ROOT, ", %.1f kg", mass)));
    return title.toString();
  }
}
