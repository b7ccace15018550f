// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.balance.WasteBuildUp;
import opercle.analysis.farm.Tank;
import opercle.analysis.gas.SurfaceReaeration;
import opercle.analysis.holding.HoldingNow.Basis;
import opercle.analysis.holding.HoldingNow.Value;
import opercle.analysis.holding.TankWork.Tested;
import opercle.analysis.records.TankEntry;
import opercle.analysis.stock.DensityGuide;
import opercle.analysis.stock.Feeding;
import opercle.analysis.stock.WasteOutput;
import opercle.analysis.water.CarbonDioxide;
import opercle.analysis.water.Emerson1975;

/**
 * Reckons what has built up in a holding tank. What somebody measured goes before what is reckoned,
 * and everything goes on from there. Pure.
 */
public final class HoldingEstimate {

  /** For how long a hand test counts as measured: the water is another one after that. */
  static final Duration AMMONIA_TEST_HOLDS = Duration.ofHours(6);

  static final Duration CARBON_DIOXIDE_TEST_HOLDS = Duration.ofHours(1);
  static final Duration SALT_TEST_HOLDS = Duration.ofHours(24); // (ours)
  static final Duration PH_TEST_HOLDS = Duration.ofHours(24);
  static final Duration ALKALINITY_TEST_HOLDS = Duration.ofDays(30);

  /** Where no probe and no test tells it, °C (an assumption, said on the page). */
  static final double ASSUMED_C = 10.0;

  /** Read-off error of a hand kit's colours (common practice). */
  private static final double TEST_KIT_SHARE = 0.2;

  private static final double PH_PROBE_ERROR = 0.1;
  private static final double PH_TEST_ERROR = 0.2;
  private static final double PH_SET_ERROR = 0.5;
  private static final double START_CARBON_DIOXIDE_MG_PER_L = 2.0;
  private static final double MOST_SALT_FOR_CARBON_DIOXIDE = 6.0;

  private final Tank tank;
  private final TankWork work;
  private final Seen seen;
  private final Instant now;
  private final List<String> assumptions = new ArrayList<>();
  private final double temperatureC;

  /**
   * What probes tell now; empty where none does.
   *
   * @param temperatureC °C
   * @param ph of the water
   * @param salinityGPerKg g/kg
   * @param gasFlowLPerMin L/min at 15 °C
   */
  public record Seen(
      OptionalDouble temperatureC,
      OptionalDouble ph,
      OptionalDouble salinityGPerKg,
      OptionalDouble gasFlowLPerMin) {

    /** No probe tells anything. */
    public static final Seen NOTHING =
        new Seen(
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty());
  }

  private HoldingEstimate(Tank tank, TankWork work, Seen seen, Instant now) {
    this.tank = tank;
    this.work = work;
    this.seen = seen;
    this.now = now;
    this.temperatureC = temperature();
  }

  /**
   * What has built up.
   *
   * @param tank which
   * @param work what was done there
   * @param seen what its probes tell
   * @param now when
   * @return empty for a tank that is not for holding, or holds no fish
   */
  public static Optional<HoldingNow> of(Tank tank, TankWork work, Seen seen, Instant now) {
    return tank.kind() == Tank.Kind.HOLDING && tank.isStocked()
        ? Optional.of(new HoldingEstimate(tank, work, seen, now).now())
        : Optional.empty();
  }

  /** The salt of a tank, g/kg, whether or not there are fish in it. */
  public static Value saltGPerKg(Tank tank, TankWork work, Seen seen, Instant now) {
    return new HoldingEstimate(tank, work, seen, now).salt();
  }

  private HoldingNow now() {
    Optional<Instant> since = cameIn();
    Value salt = salt();
    Optional<Value> tan = tan(since);
    Optional<Value> ph = ph();
    Optional<Value> ammonia = tan.flatMap(t -> ph.map(p -> ammonia(t, p, salt.band().likely())));
    Optional<Value> carbonDioxide = carbonDioxide(since, ph, salt.band().likely());
    if (tan.isEmpty()) {
      assumptions.add("Since when these fish are here is not known, so no ammonia is reckoned.");
    } else if (tan.get().basis() != Basis.MEASURED) {
      assumptions.add(
          "Bacteria and the air take some ammonia away; that is not counted, so it may be less.");
    }
    if (ph.isEmpty()) {
      assumptions.add(
          "pH is not known: measure it, or set it for the tank, to know the poisonous part.");
    }
    return new HoldingNow(
        tank.id(),
        now,
        since.isPresent() ? OptionalDouble.of(hours(since.get()) / 24.0) : OptionalDouble.empty(),
        HoldingLimits.of(tank),
        tank.loadKg() / tank.waterLitres() * 1000.0,
        densityGuide().times(1000.0),
        tan,
        ph,
        ammonia,
        carbonDioxide,
        salt,
        temperatureC,
        assumptions);
  }

  private double hours(Instant since) {
    return Math.max(0.0, Duration.between(since, now).toMillis() / 3.6e6);
  }

  private Optional<Instant> cameIn() {
    return tank.loads().stream()
        .filter(l -> l.kg() > 0.0)
        .flatMap(l -> l.since().stream())
        .min(Instant::compareTo)
        .filter(t -> !t.isAfter(now));
  }

  private double temperature() {
    if (seen.temperatureC().isPresent()) {
      return within(seen.temperatureC().getAsDouble(), 0.0, 38.0);
    }
    Optional<Tested> tested = work.newest(t -> t.temperatureC().orElse(Double.NaN), now);
    if (tested.isPresent()) {
      assumptions.add("The temperature is that of the last hand test.");
      return within(tested.get().value(), 0.0, 38.0);
    }
    assumptions.add("No temperature is known; %.0f °C is taken.".formatted(ASSUMED_C));
    return ASSUMED_C;
  }

  private static double within(double value, double least, double most) {
    return Math.max(least, Math.min(most, value));
  }

  /** Of a mixture: the density at which the species' shares of their own guides add up to one. */
  private Band densityGuide() {
    double low = 0.0;
    double likely = 0.0;
    double high = 0.0;
    for (Tank.Load load : tank.loads()) {
      Band own = DensityGuide.holdingKgPerL(load.species(), temperatureC).value();
      low += load.kg() / own.low();
      likely += load.kg() / own.likely();
      high += load.kg() / own.high();
    }
    double kg = tank.loadKg();
    return new Band(kg / low, kg / likely, kg / high);
  }

  private Value salt() {
    if (seen.salinityGPerKg().isPresent()) {
      double read = Math.max(0.0, seen.salinityGPerKg().getAsDouble());
      return new Value(Band.exactly(read), Basis.MEASURED, now, "probe");
    }
    Optional<Tested> tested = work.newest(t -> t.salinityGPerKg().orElse(Double.NaN), now);
    Instant at =
        tested
            .map(Tested::time)
            .orElseGet(() -> work.entries().isEmpty() ? now : work.entries().get(0).where().time());
    Instant from = at.isAfter(now) ? now : at;
    double salt = tested.map(Tested::value).orElse(0.0);
    Instant last = from;
    // A test tells of the water as it was then; one of today, of a tank that is as low as today.
    boolean asTested = tested.isPresent();
    for (TankEntry entry : work.entries()) {
      Instant time = entry.where().time();
      boolean counts = tested.isPresent() ? time.isAfter(from) : !time.isBefore(from);
      if (counts && !time.isAfter(now)) {
        salt = running(salt, last, time);
        last = time;
        if (entry instanceof TankEntry.Salt s) {
          salt += 1000.0 * s.kg() / tank.waterLitres();
        } else if (entry instanceof TankEntry.WaterChange w) {
          salt = WaterExchange.after(salt, 0.0, w.litres(), tank.waterLitres());
        } else if (entry instanceof TankEntry.TopUp t) {
          salt = toppedUp(salt, t, asTested && isFresh(from, time));
        }
        asTested &=
            !(entry instanceof TankEntry.Salt
                || entry instanceof TankEntry.WaterChange
                || entry instanceof TankEntry.TopUp);
      }
    }
    salt = running(salt, last, now);
    if (asTested && isFresh(from, now) && tank.holding().freshLPerHour().orElse(0.0) == 0.0) {
      return new Value(new Band(0.9 * salt, salt, 1.1 * salt), Basis.MEASURED, from, "hand test");
    }
    return new Value(
        new Band(0.9 * salt, salt, 1.1 * salt),
        tested.isPresent() ? Basis.SINCE_MEASURED : Basis.ESTIMATED,
        from,
        tested.isPresent() ? "last test, salt added, water changed" : "salt added, water changed");
  }

  private static boolean isFresh(Instant tested, Instant time) {
    return !time.isAfter(tested.plus(SALT_TEST_HOLDS));
  }

  /**
   * It is reckoned for the full tank: what evaporated and came again changes nothing, unless the
   * salt was tested in the water that was left.
   */
  private double toppedUp(double salt, TankEntry.TopUp t, boolean testedAsLow) {
    double left =
        t.lost() == TankEntry.TopUp.Lost.RAN_OUT || testedAsLow
            ? WaterExchange.after(salt, 0.0, t.litres(), tank.waterLitres())
            : salt;
    return left + 1000.0 * t.saltKg().orElse(0.0) / tank.waterLitres();
  }

  private double running(double salt, Instant from, Instant to) {
    return WaterExchange.running(
        salt,
        0.0,
        tank.holding().freshLPerHour().orElse(0.0),
        tank.waterLitres(),
        Duration.between(from, to).toMillis() / 3.6e6);
  }

  private Optional<Value> tan(Optional<Instant> since) {
    Optional<Tested> tested =
        work.newest(t -> t.tanMgPerL().orElse(Double.NaN), now)
            .filter(t -> since.isEmpty() || !t.time().isBefore(since.get()));
    Optional<Instant> from = tested.map(Tested::time).or(() -> since);
    if (from.isEmpty()) {
      return Optional.empty();
    }
    Band start = tested.map(t -> asTested(t.value())).orElse(Band.exactly(0.0));
    Band tan = new AmmoniaCourse(tank, work, temperatureC).at(start, from.get(), now);
    if (tested.isEmpty()) {
      assumptions.add("The water is taken to have held no ammonia when the fish came in.");
    }
    return Optional.of(
        new Value(
            tan,
            tested.isEmpty()
                ? Basis.ESTIMATED
                : tested.get().isWithin(AMMONIA_TEST_HOLDS, now)
                    ? Basis.MEASURED
                    : Basis.SINCE_MEASURED,
            from.get(),
            tested.isEmpty()
                ? "what the load gives off for its oxygen, feed, water changed"
                : "last test, and what was given off since"));
  }

  private static Band asTested(double value) {
    return new Band((1.0 - TEST_KIT_SHARE) * value, value, (1.0 + TEST_KIT_SHARE) * value);
  }

  private Optional<Value> ph() {
    if (seen.ph().isPresent()) {
      return Optional.of(ph(seen.ph().getAsDouble(), PH_PROBE_ERROR, Basis.MEASURED, now, "probe"));
    }
    Optional<Tested> tested =
        work.newest(t -> t.ph().orElse(Double.NaN), now)
            .filter(t -> t.isWithin(PH_TEST_HOLDS, now));
    if (tested.isPresent()) {
      Tested t = tested.get();
      return Optional.of(
          t.isWithin(AMMONIA_TEST_HOLDS, now)
              ? ph(t.value(), PH_TEST_ERROR, Basis.MEASURED, t.time(), "hand test")
              : ph(
                  t.value(), PH_SET_ERROR, Basis.SINCE_MEASURED, t.time(), "hand test, hours ago"));
    }
    return tank.holding().ph().isPresent()
        ? Optional.of(
            ph(tank.holding().ph().getAsDouble(), PH_SET_ERROR, Basis.SET, now, "set for the tank"))
        : Optional.empty();
  }

  private static Value ph(double ph, double error, Basis basis, Instant since, String method) {
    return new Value(new Band(ph - error, ph, ph + error), basis, since, method);
  }

  private Value ammonia(Value tan, Value ph, double saltGPerKg) {
    return new Value(
        new Band(
            ammonia(tan.band().low(), ph.band().low(), saltGPerKg),
            ammonia(tan.band().likely(), ph.band().likely(), saltGPerKg),
            ammonia(tan.band().high(), ph.band().high(), saltGPerKg)),
        tan.basis().or(ph.basis()),
        tan.since().isBefore(ph.since()) ? tan.since() : ph.since(),
        "total ammonia (" + tan.method() + ") at the pH (" + ph.method() + ")");
  }

  private double ammonia(double tan, double ph, double saltGPerKg) {
    return Emerson1975.ammoniaMgPerL(
        within(tan, 0.0, 1000.0),
        within(ph, 6.0, 10.0),
        temperatureC,
        within(saltGPerKg, 0.0, 40.0));
  }

  private Optional<Value> carbonDioxide(
      Optional<Instant> since, Optional<Value> ph, double saltGPerKg) {
    Optional<Tested> tested =
        work.newest(t -> t.carbonDioxideMgPerL().orElse(Double.NaN), now)
            .filter(t -> t.isWithin(CARBON_DIOXIDE_TEST_HOLDS, now));
    if (tested.isPresent()) {
      return Optional.of(
          new Value(
              asTested(tested.get().value()), Basis.MEASURED, tested.get().time(), "hand test"));
    }
    OptionalDouble alkalinity = alkalinity();
    if (alkalinity.isPresent() && ph.isPresent() && ph.get().basis() == Basis.MEASURED) {
      return Optional.of(fromPh(ph.get(), alkalinity.getAsDouble(), saltGPerKg));
    }
    return since.map(this::fromBalance);
  }

  private OptionalDouble alkalinity() {
    return work.newest(t -> t.alkalinityMgPerL().orElse(Double.NaN), now)
        .filter(t -> t.isWithin(ALKALINITY_TEST_HOLDS, now))
        .map(t -> OptionalDouble.of(t.value()))
        .orElse(tank.holding().alkalinityMgPerL());
  }

  private Value fromPh(Value ph, double alkalinityMgPerL, double saltGPerKg) {
    return new Value(
        new Band(
            fromPh(ph.band().high(), alkalinityMgPerL, saltGPerKg),
            fromPh(ph.band().likely(), alkalinityMgPerL, saltGPerKg),
            fromPh(ph.band().low(), alkalinityMgPerL, saltGPerKg)),
        Basis.SINCE_MEASURED,
        ph.since(),
        "pH (" + ph.method() + ") and alkalinity");
  }

  private double fromPh(double ph, double alkalinityMgPerL, double saltGPerKg) {
    return CarbonDioxide.freeMgPerL(
        within(ph, 5.0, 8.5),
        alkalinityMgPerL,
        temperatureC,
        within(saltGPerKg, 0.0, MOST_SALT_FOR_CARBON_DIOXIDE));
  }

  /** What the load breathes out against what bubbles, surface and fresh water carry away. */
  private Value fromBalance(Instant since) {
    Feeding feeding =
        work.of(TankEntry.Feed.class).stream()
                .map(f -> f.where().time())
                .anyMatch(t -> !t.isAfter(now) && t.plus(AmmoniaCourse.DIGESTS).isAfter(now))
            ? Feeding.FED
            : Feeding.UNFED;
    Band oxygen = AmmoniaCourse.oxygenMgPerLPerHour(tank, temperatureC, feeding);
    Band perOxygen = WasteOutput.carbonDioxideMgPerMgOxygen();
    Band given =
        new Band(
            oxygen.low() * perOxygen.low(),
            oxygen.likely() * perOxygen.likely(),
            oxygen.high() * perOxygen.high());
    double flow = Math.max(0.0, seen.gasFlowLPerMin().orElse(tank.supply().flowLPerMin()));
    Band stripped =
        WasteBuildUp.BUBBLE_SHARE
            .times(WasteBuildUp.fullStrippingPerHour(flow, tank.waterLitres(), temperatureC))
            .plus(
                SurfaceReaeration.STILL
                    .kLaPerHour(temperatureC)
                    .times(WasteBuildUp.OVER_OXYGEN_AT_A_SURFACE))
            .plus(Band.exactly(tank.holding().freshLPerHour().orElse(0.0) / tank.waterLitres()));
    return new Value(
        WasteBuildUp.carbonDioxideMgPerL(
            START_CARBON_DIOXIDE_MG_PER_L, given, stripped, temperatureC, hours(since)),
        Basis.ESTIMATED,
        since,
        "what the load breathes out, against bubbles, surface and fresh water");
  }
}
