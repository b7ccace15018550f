// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Reading;
import opercle.simulator.physics.Chance;
import opercle.simulator.probe.Fittings;

/**
 * One tank-night with its truth: tank, load, instruments, when and how hard are all drawn by the
 * seed from published ranges. The same seed and kind give the same night. One thread only.
 *
 * <p>Play it with {@link #next} and give the readings to whatever is judged; then ask for {@link
 * #truth}. The readings' times are those of the probes; they come in order of arrival.
 */
public final class SimulatedNight {

  /** How finely the truth is kept. */
  private static final Duration KEPT_EVERY = Duration.ofSeconds(5);

  /** How long the truth is followed beyond the end of the night. */
  private static final Duration BEYOND = Duration.ofHours(6);

  /**
   * What may be asked of a night beside its seed.
   *
   * @param length at least 30 minutes
   * @param fittings instruments; empty: drawn too
   */
  public record Options(Duration length, Optional<Fittings> fittings) {
    /** Twelve hours, instruments drawn. */
    public static final Options USUAL = new Options(Duration.ofHours(12), Optional.empty());

    public Options {
      if (length.compareTo(Duration.ofMinutes(30)) < 0) {
        throw new IllegalArgumentException(
            "a simulated night lasts at least 30 minutes but was to last " + length);
      }
    }
  }

  private final NightKind kind;
  private final Farm description;
  private final String tank;
  private final Fittings fittings;
  private final SimulatedFarm farm;
  private final Instant start;
  private final Instant end;
  private final Optional<Instant> onset;
  private final float[] oxygen;
  private int kept;

  /** A night of twelve hours. */
  public SimulatedNight(long seed, NightKind kind) {
    this(seed, kind, Options.USUAL);
  }

  /** A night of one's own length and instruments. */
  public SimulatedNight(long seed, NightKind kind, Options options) {
    this.kind = kind;
    Chance chance = Chance.of(seed, "night/" + kind.id());
    start =
        Instant.parse("2026-01-01T00:00:00Z")
            .plusSeconds(86_400L * chance.below(365))
            .plusMillis((long) (chance.between(17.0, 23.0) * 3.6e6));
    end = start.plus(options.length());
    Tank.Kind tankKind = tankKind(kind, chance.happens(0.3));
    TankDraw.Drawn drawn = TankDraw.draw("n1", tankKind, chance);
    tank = drawn.tank().id();
    List<Tank> tanks = new ArrayList<>(List.of(drawn.tank()));
    if (kind == NightKind.BLOWER_STOPS) {
      tanks.addAll(TankDraw.neighbours(chance));
    }
    description = new Farm("Night " + seed, chance.between(0.0, 400.0), tanks);
    NightScript.Drawn script = NightScript.draw(kind, drawn.tank(), options.length(), chance);
    onset = script.onset().map(start::plus);
    fittings = options.fittings().orElseGet(() -> fittings(kind, chance));
    farm =
        new SimulatedFarm(
            description,
            new Scenario(kind.id(), "A drawn night.", script.happenings()),
            chance.nextLong(),
            start,
            (t, index) -> fittings,
            new Setup(
                Setup.USUAL.warmUpSeconds(), traits -> traits.startingAt(drawn.temperatureC())));
    long seconds = options.length().plus(BEYOND).toSeconds();
    oxygen = new float[(int) (seconds / KEPT_EVERY.toSeconds()) + 2];
    keep();
  }

  /** Nobody feeds, nets or adds fish on the road; a blower feeds holding tanks only. */
  private static Tank.Kind tankKind(NightKind kind, boolean onTheRoad) {
    return switch (kind) {
      case CYLINDER_RUNS_OUT, ROAD -> Tank.Kind.TRANSPORT;
      case BLOWER_STOPS, FEEDING, HANDLING, FISH_ADDED, WATER_CHANGED, LINE_STOPS_WHILE_FED ->
          Tank.Kind.HOLDING;
      default -> onTheRoad ? Tank.Kind.TRANSPORT : Tank.Kind.HOLDING;
    };
  }

  private static Fittings fittings(NightKind kind, Chance chance) {
    boolean aboutTheMeter =
        kind == NightKind.METER_GLITCHES || kind == NightKind.LINE_STOPS_WHILE_METER_IS_STUCK;
    return new Fittings(
        chance.happens(0.25) ? 2 : 1,
        chance.happens(0.7) || aboutTheMeter,
        chance.happens(0.35),
        true,
        5.0,
        chance.logBetween(12.0, 60.0),
        chance.logBetween(0.01, 0.08));
  }

  /** What the night is about. */
  public NightKind kind() {
    return kind;
  }

  /** The farm's description, for the one that is judged: a tank, or three on one blower. */
  public Farm farm() {
    return description;
  }

  /** The tank that the night is about. */
  public String tank() {
    return tank;
  }

  /** The instruments of each tank. */
  public Fittings fittings() {
    return fittings;
  }

  /** When it starts. */
  public Instant start() {
    return start;
  }

  /** When it ends. */
  public Instant end() {
    return end;
  }

  /** How far it has been played. */
  public Instant now() {
    return farm.now();
  }

  /**
   * Plays on for a while, at most to the end.
   *
   * @return what arrived meanwhile, in order of arrival
   */
  public List<Reading> next(Duration duration) {
    Instant until = farm.now().plus(duration);
    return playTo(until.isBefore(end) ? until : end);
  }

  /** Plays the rest of the night. */
  public List<Reading> rest() {
    return playTo(end);
  }

  private List<Reading> playTo(Instant until) {
    List<Reading> readings = new ArrayList<>();
    while (farm.now().isBefore(until)) {
      Instant nextKept = start.plus(KEPT_EVERY.multipliedBy(kept));
      readings.addAll(farm.advance(nextKept.isBefore(until) ? nextKept : until));
      if (!farm.now().isBefore(nextKept)) {
        keep();
      }
    }
    return readings;
  }

  private void keep() {
    if (kept < oxygen.length) {
      oxygen[kept++] = (float) farm.truth(tank).oxygenMgPerL();
    }
  }

  /**
   * True minutes until a level from now on, if all goes on as it is: what a watch's time in hand
   * should have said. Unlike {@link Truth} it knows nothing of what is still to happen.
   *
   * @param floorMgPerL the level, mg/L
   * @param gasStops whether the supply is taken to end now
   * @param horizon how far to look
   * @return empty if the level is not reached within the horizon
   */
  public OptionalDouble minutesInHand(double floorMgPerL, boolean gasStops, Duration horizon) {
    return farm.minutesToFloor(tank, floorMgPerL, gasStops, horizon);
  }

  /**
   * What was really so. Plays what is left of the night and six hours more, without telling what
   * the probes said.
   */
  public Truth truth() {
    playTo(end.plus(BEYOND));
    return new Truth(kind, tank, onset, start, KEPT_EVERY, Arrays.copyOf(oxygen, kept));
  }
}
