// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripLimits;
import opercle.analysis.trip.TripTank;

/**
 * The start of a trip as somebody asks for it, in few words: which tank, and what differs from how
 * the farm describes it.
 *
 * @param loaded the loading that follows from it, without a plan
 * @param temperatureC of the water at loading, where it was said: then a plan can be worked out
 */
public record StartForm(Loaded loaded, OptionalDouble temperatureC) {

  private static final int LONGEST = 120;

  /**
   * Reads a start.
   *
   * @param node what was asked
   * @param farm where the tank stands
   * @throws UnusableTripException naming every field that is wrong
   */
  public static StartForm read(JsonNode node, Farm farm) {
    return read(node, farm, (today, from, to) -> today);
  }

  /** How a tank stood over a night that is past. */
  @FunctionalInterface
  public interface Then {

    /**
     * The tank with the fish that were in it.
     *
     * @param today the tank as it is now
     * @param from when the night began
     * @param to when it ended, as far as that was said
     */
    Tank over(Tank today, Instant from, Instant to);
  }

  /**
   * Reads a start; of a night whose load is not said with the fish that were in the tank then.
   *
   * @param then knows the tank as it was
   * @throws UnusableTripException naming every field that is wrong
   */
  public static StartForm read(JsonNode node, Farm farm, Then then) {
    Fields f = Fields.of(node);
    String id = f.id("id");
    Instant time = f.time("time");
    String by = f.text("by", 1, 60);
    String tankId = f.text("tank", 1, 64);
    Optional<Tank> found = farm.tank(tankId);
    if (found.isEmpty()) {
      f.wrong(
          "tank",
          "a tank of this farm: "
              + farm.tanks().stream().map(Tank::name).collect(Collectors.joining(", ")),
          "");
      throw new UnusableTripException("", f.faults());
    }
    Trip.Kind kind =
        f.has("kind")
            ? f.word("kind", EntryForm.words(Trip.Kind.values(), Trip.Kind::id))
            : found.get().kind() == Tank.Kind.TRANSPORT ? Trip.Kind.ROAD : Trip.Kind.NIGHT;
    Instant until = f.has("until") ? f.time("until") : time;
    Optional<String> vehicle = f.optionalText("vehicle", LONGEST);
    String from = f.text("from", 0, LONGEST);
    String to = f.text("to", 0, LONGEST);
    List<Tank.Load> load = new ArrayList<>(TripForm.load(f, 0));
    boolean isPast = kind == Trip.Kind.NIGHT && load.isEmpty() && f.faults().isEmpty();
    Tank tank = isPast ? then.over(found.get(), time, until) : found.get();
    if (load.isEmpty()) {
      tank.loads().stream().filter(l -> l.kg() > 0.0).forEach(load::add);
    }
    if (load.isEmpty()) {
      f.wrong("load", "at least one kind of fish: the tank is written down as empty", "");
    }
    OptionalDouble minutes = f.optional("expectedMinutes", Trip.MINUTES);
    OptionalDouble bar = f.optional("cylinderBar", Trip.CYLINDER_BAR);
    OptionalDouble temperature = f.optional("temperatureC", StopCheck.TEMPERATURE);
    Optional<String> record = f.optionalText("movementRecord", LONGEST);
    List<String> others = TripForm.others(f);
    f.noOthers();
    if (!f.faults().isEmpty()) {
      throw new UnusableTripException("", f.faults());
    }
    Trip trip =
        new Trip(
            id,
            kind,
            TripTank.of(tank, farm.altitudeM()),
            vehicle,
            from,
            to,
            load,
            minutes,
            limits(tank, load),
            bar,
            Optional.empty(),
            record,
            others);
    return new StartForm(new Loaded(id + "-in", time, by, Optional.empty(), trip), temperature);
  }

  /** The keeper's own floors; else those of the fish that are really in it. */
  private static TripLimits limits(Tank tank, List<Tank.Load> load) {
    return TripLimits.of(tank.withLoads(load));
  }
}
