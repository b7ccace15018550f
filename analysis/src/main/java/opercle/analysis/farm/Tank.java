// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import opercle.analysis.stock.Species;

/**
 * A tank as the farm description gives it.
 *
 * @param id short name used in topics: lower-case letters, digits, hyphens
 * @param name as the keeper calls it
 * @param kind holding or transport
 * @param waterLitres water in the tank, without the fish, L
 * @param depthM depth of water over the diffuser, m
 * @param supply how gas gets into it
 * @param loads the fish in it, each species once: one that is given twice is {@link Stocking#joined
 *     joined}; empty when it holds none
 * @param floors the keeper's own floors; empty: by species
 * @param responseMinutes how long it takes from an alarm at night until somebody has gas flowing
 *     again; empty where the keeper has not said
 * @param holding what the keeper says of holding fish in it for days
 */
public record Tank(
    String id,
    String name,
    Kind kind,
    double waterLitres,
    double depthM,
    Supply supply,
    List<Load> loads,
    Optional<Floors> floors,
    OptionalDouble responseMinutes,
    Holding holding) {

  public Tank {
    loads = Stocking.joined(loads);
  }

  /** A tank of which nothing is said about holding fish for days. */
  public Tank(
      String id,
      String name,
      Kind kind,
      double waterLitres,
      double depthM,
      Supply supply,
      List<Load> loads,
      Optional<Floors> floors,
      OptionalDouble responseMinutes) {
    this(
        id,
        name,
        kind,
        waterLitres,
        depthM,
        supply,
        loads,
        floors,
        responseMinutes,
        Holding.NOT_SAID);
  }

  /** A tank of which the keeper has not said how long it takes to get there. */
  public Tank(
      String id,
      String name,
      Kind kind,
      double waterLitres,
      double depthM,
      Supply supply,
      List<Load> loads,
      Optional<Floors> floors) {
    this(id, name, kind, waterLitres, depthM, supply, loads, floors, OptionalDouble.empty());
  }

  /** What a tank is for. */
  public enum Kind {
    HOLDING,
    TRANSPORT;

    /** The word in the farm description. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  /** The gas that is fed. */
  public enum Gas {
    AIR,
    OXYGEN;

    /** The word in the farm description. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  /** Where the gas comes from. */
  public enum Source {
    BLOWER,
    CYLINDER;

    /** The word in the farm description. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  /** How the gas is let into the water. */
  public enum Diffuser {
    CERAMIC,
    POROUS_HOSE,
    PERFORATED_PIPE,
    AIR_STONE;

    /** The word in the farm description, for instance {@code porous-hose}. */
    public String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }

  /**
   * How gas gets into a tank.
   *
   * @param gas air or oxygen
   * @param source blower or cylinder
   * @param diffuser kind of diffuser
   * @param flowLPerMin the flow the keeper sets, L/min at 15 °C and 101.325 kPa
   * @param cylinder the cylinder, where the source is one and the keeper described it
   * @param sharedSource what the keeper calls the one blower or cylinder that feeds several tanks;
   *     tanks with the same name here lose their gas together. Empty: this tank has its own
   * @param pausesMinutes for at most so long at a time a timer or a controlled valve shuts the gas
   *     off, minutes; empty: gas is meant to flow all the time
   */
  public record Supply(
      Gas gas,
      Source source,
      Diffuser diffuser,
      double flowLPerMin,
      Optional<Cylinder> cylinder,
      Optional<String> sharedSource,
      OptionalDouble pausesMinutes) {

    /** Timers drift and valves are slow: a pause is not over yet by so much of it. */
    private static final double PAUSE_MARGIN = 0.2;

    private static final double LEAST_PAUSE_MARGIN_MINUTES = 1.0 / 6.0;

    /** A supply that is meant to flow all the time. */
    public Supply(
        Gas gas,
        Source source,
        Diffuser diffuser,
        double flowLPerMin,
        Optional<Cylinder> cylinder,
        Optional<String> sharedSource) {
      this(gas, source, diffuser, flowLPerMin, cylinder, sharedSource, OptionalDouble.empty());
    }

    /** A supply of one tank alone. */
    public Supply(
        Gas gas,
        Source source,
        Diffuser diffuser,
        double flowLPerMin,
        Optional<Cylinder> cylinder) {
      this(gas, source, diffuser, flowLPerMin, cylinder, Optional.empty());
    }

    /** The same supply, shut off by a timer for at most so many minutes at a time. */
    public Supply withPauses(double minutes) {
      return new Supply(
          gas, source, diffuser, flowLPerMin, cylinder, sharedSource, OptionalDouble.of(minutes));
    }

    /**
     * Gas that is off for longer than this has not been shut off by its timer: the longest pause
     * and a fifth of it, ten seconds at the least (common practice). 0 where gas has no pauses;
     * minutes.
     */
    public double pauseLimitMinutes() {
      double pause = pausesMinutes.orElse(0.0);
      return pause == 0.0
          ? 0.0
          : pause + Math.max(PAUSE_MARGIN * pause, LEAST_PAUSE_MARGIN_MINUTES);
    }
  }

  /**
   * A gas cylinder.
   *
   * @param waterLitres water volume, L
   * @param fullBar filling pressure at 15 °C, bar gauge
   */
  public record Cylinder(double waterLitres, double fullBar) {}

  /**
   * Fish of one species in a tank.
   *
   * @param species which
   * @param kg their mass together, kg
   * @param count how many, where known
   * @param since when they were put in, where known
   */
  public record Load(Species species, double kg, OptionalInt count, Optional<Instant> since) {

    /** Mean body mass, kg; the species' usual size where the count is not known. */
    public double meanMassKg() {
      return count.isPresent() && count.getAsInt() > 0
          ? kg / count.getAsInt()
          : species.usualMassKg();
    }
  }

  /**
   * Oxygen levels that a load must not go below.
   *
   * @param keepMgPerL act, mg/L
   * @param criticalMgPerL the fish are being harmed, mg/L
   */
  public record Floors(double keepMgPerL, double criticalMgPerL) {}

  /**
   * What the keeper says of holding fish for days.
   *
   * @param days for how many fish may be held in it; empty: as is common practice
   * @param daysBySpecies the same for one species, which goes before {@code days}
   * @param freshLPerHour fresh water that runs through it all the time, L/h
   * @param ph of its water, where no probe and no test tells it
   * @param alkalinityMgPerL of its water, mg/L as CaCO₃, where no test tells it
   */
  public record Holding(
      OptionalDouble days,
      Map<Species, Double> daysBySpecies,
      OptionalDouble freshLPerHour,
      OptionalDouble ph,
      OptionalDouble alkalinityMgPerL) {

    /** Nothing. */
    public static final Holding NOT_SAID =
        new Holding(
            OptionalDouble.empty(),
            Map.of(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty());

    public Holding {
      daysBySpecies = Map.copyOf(daysBySpecies);
    }
  }

  /** The same tank with other fish in it. */
  public Tank withLoads(List<Load> others) {
    return new Tank(
        id, name, kind, waterLitres, depthM, supply, others, floors, responseMinutes, holding);
  }

  /** Whether there are fish in it. */
  public boolean isStocked() {
    return loads.stream().anyMatch(l -> l.kg() > 0.0);
  }

  /** All the fish in it, kg. */
  public double loadKg() {
    return loads.stream().mapToDouble(Load::kg).sum();
  }

  /**
   * The floors that hold for this load: the keeper's own, else the strictest of its species. An
   * empty tank has those of carp, so that a level can be drawn.
   */
  public Floors floorsInForce() {
    return floors.orElseGet(
        () -> {
          Species strictest =
              loads.stream()
                  .map(Load::species)
                  .max(Comparator.comparingDouble(Species::keepFloorMgPerL))
                  .orElse(Species.COMMON_CARP);
          return new Floors(strictest.keepFloorMgPerL(), strictest.criticalFloorMgPerL());
        });
  }
}
