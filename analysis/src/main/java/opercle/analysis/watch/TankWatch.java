// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmBook;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.Finding;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.jspecify.annotations.Nullable;

/**
 * The watch over one tank: readings and passing time in, state and alarm events out.
 *
 * <p>It runs on the readings' own time, so that a recorded night gives the same alarms as the night
 * did, and uses memory that does not grow. Duplicates and readings that come late are ignored and
 * counted, see {@link Rhythm}. Only silence is judged by {@link #tick}, whose time is the
 * receiver's.
 *
 * <p>Not thread-safe; what it returns is immutable.
 */
final class TankWatch {

  /** Standing alarms are judged anew this often, seconds, or at once when a condition changes. */
  private static final double REJUDGE_SECONDS = 1.0;

  /** A probe's clock may be this far off before the receiver's is believed instead. */
  private static final double CLOCK_TOLERANCE_SECONDS = 60.0;

  private static final long NEVER = Long.MIN_VALUE;

  private Tank tank;
  private Tank.Floors floors;
  private final Probes probes = new Probes();
  private final Water water;
  private final AlarmBook book;
  private long lastTick = NEVER;
  private double tickSpacingSeconds;
  private long lastJudged = NEVER;
  private Conditions judged = Conditions.NONE;
  private long ignored;

  /** What is the matter, without figures. */
  private record Conditions(
      boolean gasStopped, boolean belowKeep, boolean belowCritical, int silentProbes) {

    static final Conditions NONE = new Conditions(false, false, false, 0);

    boolean any() {
      return gasStopped || belowKeep || silentProbes > 0;
    }
  }

  TankWatch(Tank tank, double altitudeM) {
    this.tank = tank;
    this.floors = tank.floorsInForce();
    this.water = new Water(probes, altitudeM);
    this.book = new AlarmBook(tank.id());
  }

  /** The tank is described anew: other fish, other water, other floors. What was learned stays. */
  void describe(Tank description, double altitudeM) {
    this.tank = description;
    this.floors = description.floorsInForce();
    water.altitude(altitudeM);
  }

  List<AlarmEvent> accept(Reading reading) {
    @Nullable Probe probe = probes.get(reading.quantity(), reading.probe());
    if (probe == null) {
      ignored++;
      return List.of();
    }
    long time = Micros.of(reading.time());
    Rhythm before = probe.rhythm;
    probe.rhythm = before.next(time, heardAt(time));
    if (probe.rhythm.taken() == before.taken()) {
      ignored++;
      return List.of();
    }
    probe.silent = false;
    probe.value = reading.value();
    take(probe);
    return judge(probe.rhythm.last());
  }

  private void take(Probe probe) {
    long time = probe.rhythm.last();
    switch (probe.quantity) {
      case OXYGEN -> takeOxygen(probe, time, probe.value);
      case OXYGEN_SATURATION -> {
        OptionalDouble saturation = water.saturationMgPerL();
        if (saturation.isPresent()) {
          takeOxygen(probe, time, probe.value / 100.0 * saturation.getAsDouble());
        }
      }
      case GAS_FLOW -> probe.meter = probe.meter.next(time, probe.value, setFlow());
      default -> {
        // Kept as the newest value.
      }
    }
  }

  private void takeOxygen(Probe probe, long time, double mgPerL) {
    probe.trend = probe.trend.next(time, mgPerL, probe.rhythm.intervalSeconds());
    probe.level = probe.level.next(mgPerL, floors);
  }

  /** The flow that the keeper set is that of the tank: with several meters nobody knows whose. */
  private double setFlow() {
    return probes.of(Quantity.GAS_FLOW).size() == 1 ? tank.supply().flowLPerMin() : 0.0;
  }

  private long heardAt(long time) {
    if (lastTick == NEVER) {
      return time;
    }
    double tolerance = Math.max(CLOCK_TOLERANCE_SECONDS, 2.0 * tickSpacingSeconds);
    return Math.abs(Micros.seconds(time - lastTick)) <= tolerance
        ? Math.max(lastTick, time)
        : lastTick;
  }

  List<AlarmEvent> tick(Instant instant) {
    long now = Micros.of(instant);
    if (lastTick != NEVER && now < lastTick) {
      for (Probe p : probes.all()) {
        p.rhythm = p.rhythm.notHeardAfter(now);
      }
    } else if (lastTick != NEVER) {
      tickSpacingSeconds = Micros.seconds(now - lastTick);
    }
    lastTick = now;
    for (Probe p : probes.all()) {
      p.silent = p.rhythm.isSilent(now);
    }
    return judge(now);
  }

  List<AlarmEvent> acknowledge(AlarmCause cause, String by, Instant now) {
    return book.acknowledge(now, cause, by).map(List::of).orElse(List.of());
  }

  List<Alarm> standing() {
    return book.standing();
  }

  /** Readings not taken: duplicates, late ones, and those of too many probes. */
  long ignoredReadings() {
    return ignored;
  }

  // --- judging ---

  private List<AlarmEvent> judge(long now) {
    Conditions conditions = conditions();
    if (!conditions.any() && book.isEmpty()) {
      judged = conditions;
      return List.of();
    }
    double since = lastJudged == NEVER ? 0.0 : Micros.seconds(now - lastJudged);
    if (conditions.equals(judged) && since >= 0.0 && since < REJUDGE_SECONDS) {
      return List.of();
    }
    judged = conditions;
    lastJudged = now;
    Instant instant = Micros.instant(now);
    List<AlarmEvent> events = new ArrayList<>(2);
    report(
        conditions.gasStopped(),
        AlarmCause.GAS_LINE_STOPPED,
        instant,
        () -> gasStopped(now),
        () -> allClear(AlarmCause.GAS_LINE_STOPPED, now, "gas is flowing again"),
        events);
    report(
        conditions.belowKeep(),
        AlarmCause.OXYGEN_LOW,
        instant,
        () -> oxygenLow(now, conditions.belowCritical()),
        () -> allClear(AlarmCause.OXYGEN_LOW, now, "oxygen is above the keep floor again"),
        events);
    report(
        conditions.silentProbes() > 0,
        AlarmCause.PROBE_SILENT,
        instant,
        () -> probeSilent(now),
        () -> allClear(AlarmCause.PROBE_SILENT, now, "all probes are heard again"),
        events);
    return events;
  }

  private void report(
      boolean present,
      AlarmCause cause,
      Instant now,
      Supplier<Finding> finding,
      Supplier<Finding> allClear,
      List<AlarmEvent> events) {
    (present ? book.present(now, finding.get()) : book.absent(now, cause, allClear))
        .ifPresent(events::add);
  }

  /** Only a stocked tank has alarms. */
  private Conditions conditions() {
    boolean gasStopped = false;
    boolean belowKeep = false;
    boolean belowCritical = false;
    int silent = 0;
    List<Probe> all = probes.all();
    for (int i = 0; i < all.size(); i++) {
      Probe p = all.get(i);
      gasStopped |= p.meter.hasStopped();
      belowKeep |= p.level.belowKeep();
      belowCritical |= p.level.belowCritical();
      silent += p.silent ? 1 : 0;
    }
    boolean any = gasStopped || belowKeep || belowCritical || silent > 0;
    return any && tank.isStocked()
        ? new Conditions(gasStopped, belowKeep, belowCritical, silent)
        : Conditions.NONE;
  }

  private Finding gasStopped(long now) {
    long since = Long.MAX_VALUE;
    for (Probe p : probes.of(Quantity.GAS_FLOW)) {
      if (p.meter.hasStopped()) {
        since = Math.min(since, p.meter.lowSince());
      }
    }
    TimeInHand time = moreUrgent(asThingsGo(now), ifGasStops(now));
    return finding(
        AlarmCause.GAS_LINE_STOPPED,
        Urgency.ofSupplyLoss(time),
        "no gas flow",
        now,
        time,
        "no gas flow for " + Wording.lasting(Micros.seconds(now - since)),
        Wording.checkSupply(tank));
  }

  private Finding oxygenLow(long now, boolean belowCritical) {
    TimeInHand time = asThingsGo(now);
    double floor = belowCritical ? floors.criticalMgPerL() : floors.keepMgPerL();
    double lowest = Double.NaN;
    for (Probe p : probes.all()) {
      boolean below = belowCritical ? p.level.belowCritical() : p.level.belowKeep();
      if (below && !(p.trend.oxygenMgPerL() >= lowest)) {
        lowest = p.trend.oxygenMgPerL();
      }
    }
    return finding(
        AlarmCause.OXYGEN_LOW,
        Urgency.ofLowOxygen(belowCritical, time),
        belowCritical ? "below the critical floor" : "below the keep floor",
        now,
        time,
        "oxygen "
            + Wording.oxygen(lowest)
            + (belowCritical ? ", below the critical floor of " : ", below the keep floor of ")
            + Wording.oxygen(floor),
        "Give more gas and look at the fish.");
  }

  private Finding probeSilent(long now) {
    StringBuilder names = new StringBuilder();
    double longest = 0.0;
    boolean oxygenLost = false;
    boolean oxygenHeard = false;
    boolean supplyLost = false;
    for (Probe p : probes.all()) {
      oxygenHeard |= p.measuresOxygen() && !p.silent;
      if (p.silent) {
        names.append(names.isEmpty() ? "" : ", ").append(p.title());
        longest = Math.max(longest, p.rhythm.quietSeconds(now));
        oxygenLost |= p.measuresOxygen();
        supplyLost |= p.quantity == Quantity.GAS_FLOW || p.quantity == Quantity.LINE_PRESSURE;
      }
    }
    boolean unwatched = oxygenLost && !oxygenHeard;
    TimeInHand time = ifGasStops(now);
    Priority priority =
        unwatched
            ? Priority.HIGH
            : oxygenLost || supplyLost ? Urgency.ofLostRedundancy(time) : Priority.LOW;
    String fact = names + " silent for " + Wording.lasting(longest);
    String message =
        Wording.sentences(
            tank,
            unwatched ? fact + "; nothing watches the oxygen of this tank now" : fact,
            time instanceof TimeInHand.Minutes m
                ? "About " + Wording.minutes(m.minutes().likely()) + " in hand if gas stops."
                : "",
            unwatched
                ? "Look at the fish, then check probe, cable and power."
                : "Check probe, cable and power.");
    return new Finding(
        AlarmCause.PROBE_SILENT,
        priority,
        names.toString(),
        time.likelyMinutes(),
        oxygenMgPerL(now),
        message);
  }

  private Finding allClear(AlarmCause cause, long now, String fact) {
    String oxygen =
        oxygenMgPerL(now).isPresent()
            ? ", oxygen " + Wording.oxygen(oxygenMgPerL(now).getAsDouble())
            : "";
    return new Finding(
        cause,
        Priority.LOW,
        fact,
        asThingsGo(now).likelyMinutes(),
        oxygenMgPerL(now),
        tank.name() + ": " + fact + oxygen + ".");
  }

  private Finding finding(
      AlarmCause cause,
      Priority priority,
      String gist,
      long now,
      TimeInHand time,
      String fact,
      String action) {
    return new Finding(
        cause,
        priority,
        gist,
        time.likelyMinutes(),
        oxygenMgPerL(now),
        Wording.sentences(tank, fact, Wording.inHand(time), action));
  }

  private static TimeInHand moreUrgent(TimeInHand a, TimeInHand b) {
    if (a instanceof TimeInHand.Minutes m && b instanceof TimeInHand.Minutes n) {
      return m.minutes().likely() <= n.minutes().likely() ? a : b;
    }
    return a instanceof TimeInHand.Minutes ? a : b;
  }

  // --- state ---

  TankState state(Instant instant) {
    long now = Micros.of(instant);
    @Nullable Probe speaking = probes.speaking(now);
    OptionalDouble oxygen = oxygenMgPerL(now);
    OptionalDouble saturation = water.saturationMgPerL();
    @Nullable Band demand = water.demandMgPerKgPerHour(tank);
    return new TankState(
        tank.id(),
        instant,
        newestReading(),
        oxygen,
        oxygen.isPresent() && saturation.isPresent()
            ? OptionalDouble.of(100.0 * oxygen.getAsDouble() / saturation.getAsDouble())
            : OptionalDouble.empty(),
        probes.fresh(Quantity.TEMPERATURE, now),
        gasFlow(now),
        speaking != null && speaking.trend.hasSlope()
            ? OptionalDouble.of(speaking.trend.slopePerMinute())
            : OptionalDouble.empty(),
        demand == null ? OptionalDouble.empty() : OptionalDouble.of(demand.likely()),
        speaking == null ? unwatched() : asThingsGo(now),
        speaking == null ? unwatched() : ifGasStops(now),
        book.standing());
  }

  private OptionalDouble oxygenMgPerL(long now) {
    @Nullable Probe speaking = probes.speaking(now);
    return speaking == null
        ? OptionalDouble.empty()
        : OptionalDouble.of(speaking.trend.oxygenMgPerL());
  }

  private Optional<Instant> newestReading() {
    long newest = NEVER;
    for (Probe p : probes.all()) {
      newest = Math.max(newest, p.rhythm.hasSpoken() ? p.rhythm.last() : NEVER);
    }
    return newest == NEVER ? Optional.empty() : Optional.of(Micros.instant(newest));
  }

  private OptionalDouble gasFlow(long now) {
    OptionalDouble sum = OptionalDouble.empty();
    for (Probe p : probes.of(Quantity.GAS_FLOW)) {
      if (p.rhythm.isFresh(now)) {
        sum = OptionalDouble.of(sum.orElse(0.0) + p.value);
      }
    }
    return sum;
  }

  private TimeInHand unwatched() {
    if (probes.lastSpeaking() != null) {
      return new TimeInHand.Unknown("no oxygen reading of late");
    }
    boolean percentOnly = !probes.of(Quantity.OXYGEN_SATURATION).isEmpty();
    return new TimeInHand.Unknown(
        percentOnly
            ? "oxygen comes in percent and there is no usable water temperature"
            : "no oxygen probe heard yet");
  }

  private TimeInHand asThingsGo(long now) {
    @Nullable Probe p = probes.speaking(now);
    if (p == null) {
      return unwatched();
    }
    double floor = floors.criticalMgPerL();
    if (!p.trend.hasSlope() && p.trend.oxygenMgPerL() > floor) {
      return new TimeInHand.Unknown("too few readings for a trend");
    }
    return Outlook.asThingsGo(
        p.trend.oxygenMgPerL(), floor, p.trend.slopePerMinute(), p.trend.slopeErrorPerMinute());
  }

  /** From the newest oxygen there is, however old; {@link #state} says so where it is stale. */
  private TimeInHand ifGasStops(long now) {
    @Nullable Probe fresh = probes.speaking(now);
    @Nullable Probe p = fresh == null ? probes.lastSpeaking() : fresh;
    if (p == null) {
      return unwatched();
    }
    if (!tank.isStocked()) {
      return new TimeInHand.Holding();
    }
    @Nullable Band demand = water.demandMgPerLPerMin(tank);
    OptionalDouble saturation = water.saturationMgPerL();
    if (demand == null || saturation.isEmpty()) {
      return new TimeInHand.Unknown(
          water.temperatureC().isPresent()
              ? "water temperature outside 0–30 °C"
              : "no water temperature");
    }
    return Outlook.ifGasStops(
        p.trend.oxygenMgPerL(), floors.criticalMgPerL(), saturation.getAsDouble(), demand);
  }
}
