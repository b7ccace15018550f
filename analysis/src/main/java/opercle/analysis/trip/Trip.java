// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import opercle.analysis.ValidRange;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.FishLoad;

/**
 * One run of a tank that is looked at as a whole: on the road from loading to unloading, or a night
 * in the shed. It holds what applied then, so that it can be reviewed years later and elsewhere.
 *
 * @param id given by whoever starts it, so that a start sent twice is one trip
 * @param kind on the road, or a night
 * @param tank the tank as it was
 * @param vehicle what carries it; empty for a night
 * @param from where the fish come from; empty text where nobody said
 * @param to where they go; empty text where nobody said
 * @param load the fish, at least one kind; one that is given twice is {@link Stocking#joined
 *     joined}
 * @param expectedMinutes from loading to unloading, where somebody said
 * @param limits what applied
 * @param cylinderBar what the cylinder's gauge showed at loading, bar
 * @param plan the load plan that it started from
 * @param movementRecord id of the movement record that it belongs to
 * @param otherMovements ids of those of the other kinds, where the load is mixed: a record is of
 *     one kind of fish
 */
public record Trip(
    String id,
    Kind kind,
    TripTank tank,
    Optional<String> vehicle,
    String from,
    String to,
    List<Tank.Load> load,
    OptionalDouble expectedMinutes,
    TripLimits limits,
    OptionalDouble cylinderBar,
    Optional<TripPlan> plan,
    Optional<String> movementRecord,
    List<String> otherMovements) {

  private static final String TRIP = "trip";

  /** From loading to unloading, minutes: up to three days, as a plan. */
  public static final ValidRange MINUTES =
      new ValidRange(TRIP, "expected minutes", 1.0, 4320.0, "min");

  /** What a cylinder's gauge may show, bar. */
  public static final ValidRange CYLINDER_BAR = new ValidRange(TRIP, "cylinder", 0.0, 345.0, "bar");

  /** The fish of one kind, kg. */
  public static final ValidRange KG = new ValidRange(TRIP, "load", 1.0e-4, 1.0e6, "kg");

  public Trip {
    load = Stocking.joined(load);
    otherMovements = List.copyOf(otherMovements);
    if (load.isEmpty()) {
      throw new IllegalArgumentException("trip %s: there must be fish in it".formatted(id));
    }
    load.forEach(l -> KG.require(l.kg()));
    expectedMinutes.ifPresent(MINUTES::require);
    cylinderBar.ifPresent(CYLINDER_BAR::require);
  }

  /** A trip under one movement record at most. */
  public Trip(
      String id,
      Kind kind,
      TripTank tank,
      Optional<String> vehicle,
      String from,
      String to,
      List<Tank.Load> load,
      OptionalDouble expectedMinutes,
      TripLimits limits,
      OptionalDouble cylinderBar,
      Optional<TripPlan> plan,
      Optional<String> movementRecord) {
    this(
        id,
        kind,
        tank,
        vehicle,
        from,
        to,
        load,
        expectedMinutes,
        limits,
        cylinderBar,
        plan,
        movementRecord,
        List.of());
  }

  /** Which kind of run. */
  public enum Kind {
    /** A transport tank on the road. */
    ROAD,
    /** A holding tank over a night, or any span that somebody wants looked at. */
    NIGHT;

    /** The word in files and addresses. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  /** The same of another tank. */
  public Trip withTank(TripTank other) {
    return with(other, load, plan, movements());
  }

  /** The same with other fish. */
  public Trip withLoad(List<Tank.Load> other) {
    return with(tank, other, plan, movements());
  }

  /** The same by a load plan. */
  public Trip withPlan(Optional<TripPlan> other) {
    return with(tank, load, other, movements());
  }

  /** The same under other movement records, the first of which is its own. */
  public Trip withMovement(String... ids) {
    return with(tank, load, plan, List.of(ids));
  }

  private Trip with(
      TripTank tank, List<Tank.Load> load, Optional<TripPlan> plan, List<String> movements) {
    return new Trip(
        id,
        kind,
        tank,
        vehicle,
        from,
        to,
        load,
        expectedMinutes,
        limits,
        cylinderBar,
        plan,
        movements.stream().findFirst(),
        movements.stream().skip(1).toList());
  }

  /** The ids of all the movement records that it was made under. */
  public List<String> movements() {
    return Stream.concat(movementRecord.stream(), otherMovements.stream()).distinct().toList();
  }

  /** All the fish, kg. */
  public double loadKg() {
    return load.stream().mapToDouble(Tank.Load::kg).sum();
  }

  /** The fish as the plan knows them. */
  public FishLoad fishLoad() {
    return new FishLoad(
        load.stream()
            .map(
                l ->
                    l.count().isPresent()
                        ? Batch.of(l.species(), l.kg(), l.count().getAsInt())
                        : Batch.ofKg(l.species(), l.kg()))
            .toList());
  }
}
