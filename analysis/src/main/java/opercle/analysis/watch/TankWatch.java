// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmBook;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEntry;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.TankWork;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
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

  /** What the watch judges, in the order in which it is told. */
  private static final List<AlarmCause> CAUSES =
      List.of(
          AlarmCause.GAS_LINE_STOPPED,
          AlarmCause.GAS_NOT_REACHING_WATER,
          AlarmCause.OXYGEN_FALLING,
          AlarmCause.OXYGEN_LOW,
          AlarmCause.PROBE_SILENT,
          AlarmCause.PROBE_SUSPECT,
          AlarmCause.CYLINDER_LOW,
          AlarmCause.LOAD_TOO_HEAVY,
          AlarmCause.WATER_WARM,
          AlarmCause.OXYGEN_UNEVEN,
          AlarmCause.OXYGEN_HIGH,
          AlarmCause.WASTE_HIGH,
          AlarmCause.HELD_TOO_LONG);

  private static final long NEVER = Long.MIN_VALUE;

  private Tank tank;
  private Tank.Floors floors;
  private boolean stocked;
  private final Probes probes = new Probes();
  private final Listening listening = new Listening(probes);
  private final Water water;
  private final AlarmBook book;
  private SharedSupply shared;
  private final Unproven unproven = new Unproven();
  private SlowChecks slow = new SlowChecks();
  private final HoldingChecks holding = new HoldingChecks();
  private final Conditions conditions;

  private long lastJudged = NEVER;
  private Set<AlarmCause> present = EnumSet.noneOf(AlarmCause.class);
  private Set<AlarmCause> judged = EnumSet.noneOf(AlarmCause.class);
  private long ignored;

  TankWatch(Tank tank, double altitudeM) {
    this.tank = tank;
    this.floors = tank.floorsInForce();
    this.stocked = tank.isStocked();
    this.water = new Water(probes, altitudeM);
    this.conditions = new Conditions(probes, water, listening, this::here);
    this.book = new AlarmBook(tank.id());
    this.shared = new SharedSupply("");
  }

  /** Which tanks lose their gas together with this one. */
  void shares(SharedSupply supply) {
    shared = supply;
    supply.add(tank, book);
  }

  /**
   * The tank is described anew: other fish, other water, other floors. What was learned stays, as
   * far as it is still true: of the demand, the share of the fish that were there before.
   */
  void describe(Tank description, double altitudeM) {
    if (!description.loads().equals(tank.loads())) {
      water.moveDemand(tank.loads(), description.loads());
    }
    this.tank = description;
    this.floors = description.floorsInForce();
    this.stocked = description.isStocked();
    water.altitude(altitudeM);
    holding.lookAgain();
  }

  /** What is written down of the tank: meals, water changes, salt, hand tests. */
  void know(TankWork work) {
    holding.know(work);
  }

  /** The tank is no longer described. */
  List<AlarmEvent> end(Instant now) {
    return book.endAll(
        now, tank.name() + ": taken out of the farm. Nothing is watched there any more.");
  }

  List<AlarmEvent> accept(Reading reading) {
    @Nullable Probe probe = probes.get(reading.quantity(), reading.probe());
    if (probe == null) {
      ignored++;
      return List.of();
    }
    long time = Micros.of(reading.time());
    Rhythm before = probe.rhythm;
    probe.rhythm = before.next(time, listening.heardAt(time));
    if (probe.rhythm.taken() == before.taken()) {
      ignored++;
      return List.of();
    }
    probe.value = reading.value();
    listening.heard(probe);
    unproven.isKnown(reading.quantity());
    take(probe);
    return judge(probe.rhythm.last(), listening.heardAt(probe.rhythm.last()));
  }

  /**
   * From the next tick on somebody listens who may have been away. A probe that had been silent for
   * a day before is taken to be no longer there: what it alone could tell is over, and if it was
   * the only one for oxygen, the tank is as one never heard.
   */
  void startListening() {
    for (Probe gone : listening.start()) {
      if (!gone.measuresOxygen() && probes.of(gone.quantity).isEmpty()) {
        unproven.isKnown(gone.quantity);
      }
    }
  }

  Optional<Instant> newest(Series series) {
    for (Probe p : probes.of(series.quantity())) {
      if (p.name.equals(series.probe()) && p.rhythm.hasSpoken()) {
        return Optional.of(Micros.instant(p.rhythm.lastAsGiven()));
      }
    }
    return Optional.empty();
  }

  private void take(Probe probe) {
    long time = probe.rhythm.last();
    if (probe instanceof OxygenProbe oxygen) {
      double mgPerL = inMgPerL(oxygen);
      if (!Double.isNaN(mgPerL)) {
        oxygen.accept(time, mgPerL, floors, water);
        TimedPauses.follow(oxygen, 60.0 * tank.supply().pauseLimitMinutes());
      }
    } else if (probe instanceof TemperatureProbe temperature) {
      if (temperature.accept(time)) {
        probes.oxygen().forEach(OxygenProbe::isConvertedAnew);
      }
      if (!stocked) {
        temperature.startAgain(); // empty, filled, on a bench: the water of the fish is to come
      }
    } else if (probe instanceof MeterProbe gas) {
      boolean stopped = Probes.anyStopped(probes.flows());
      List<OxygenProbe> fell = stopped ? fellWithoutGas(time) : List.of();
      gas.accept(time, setFlow(gas));
      if (stopped && !Probes.anyStopped(probes.flows())) {
        if (conditions.gasIsBack()) {
          TimedPauses.forgetFalls(probes);
        } else {
          fell.forEach(OxygenProbe::forgetFall);
        }
      }
    }
  }

  /**
   * The probes whose fall came of the stop. Once gas flows again, that fall says nothing of the gas
   * that flows; one that goes on is found anew within minutes, as lost after the meter. A fall that
   * was there before the stop is not of the stop.
   */
  private List<OxygenProbe> fellWithoutGas(long time) {
    TankNow now = here(time);
    return probes.oxygen().stream()
        .filter(p -> p.fall != null && now.isFromTheStop(p.fall))
        .toList();
  }

  private double inMgPerL(OxygenProbe probe) {
    return switch (probe.quantity) {
      case OXYGEN_SATURATION -> {
        OptionalDouble saturation = water.saturationMgPerL();
        yield saturation.isPresent() ? probe.value / 100.0 * saturation.getAsDouble() : Double.NaN;
      }
      default -> probe.value;
    };
  }

  /** The flow that the keeper set is that of the tank: with several meters nobody knows whose. */
  private double setFlow(MeterProbe gas) {
    boolean only = probes.flows().size() == 1 && probes.flows().get(0) == gas;
    return only ? tank.supply().flowLPerMin() : 0.0;
  }

  /** Somebody has done something at the tank that its readings will show. */
  void note(TankEvent event) {
    conditions.note(event);
    if (event.kind().movesReadings()) {
      probes.temperatures().forEach(TemperatureProbe::startAgain);
      probes.oxygen().forEach(OxygenProbe::startAgain);
    }
    if (event.kind() == TankEvent.Kind.FISH_ADDED) {
      probes.temperatures().forEach(TemperatureProbe::startAgain); // mostly with their water
    }
    if (event.kind() == TankEvent.Kind.FED) {
      holding.fed(event.time());
    }
    if (event.kind() == TankEvent.Kind.GAS_CHANGED) {
      probes.flows().forEach(p -> p.meter = p.meter.relearn());
      probes.pressures().forEach(p -> p.meter = p.meter.relearn());
    }
  }

  List<AlarmEvent> tick(Instant instant) {
    long now = Micros.of(instant);
    long step = listening.tick(now);
    if (step != 0) {
      slow.stepBy(step);
      holding.stepBy(step);
    }
    return judge(now, now);
  }

  /** The alarms, for acts on them. */
  AlarmBook book() {
    return book;
  }

  /** Refuses what would leave the fish unwatched. */
  void checkShelving(AlarmCause cause, Duration length, Instant now) {
    Shelving.check(tank, book, cause, length, here(Micros.of(now)));
  }

  List<AlarmEvent> takeOutOfService(OutOfService order) {
    if (order.by().isBlank()) {
      throw new IllegalArgumentException(
          "tank %s: out of service needs the name of who does it".formatted(tank.id()));
    }
    Shelving.check(tank, order, order.from());
    return book.takeOutOfService(order);
  }

  List<Alarm> standing() {
    return book.standing();
  }

  Map<AlarmCause, AlarmEntry> alarms() {
    return book.snapshot();
  }

  List<OutOfService> outOfService() {
    return book.outOfService();
  }

  void restoreAlarms(Map<AlarmCause, AlarmEntry> saved, List<OutOfService> outOfService) {
    book.restore(saved, outOfService);
    unproven.restored(saved.keySet());
  }

  /** The whole watch over a tank as a value. */
  record Snapshot(
      List<Probes.Snapshot> probes,
      Map<AlarmCause, AlarmEntry> book,
      List<OutOfService> outOfService,
      SlowChecks.Snapshot slow,
      @Nullable AlarmCause fallCause,
      double learnedDemand,
      Listening.Snapshot listening,
      long explainedSince,
      boolean stopTold,
      long lastJudged,
      Set<AlarmCause> judged,
      Set<AlarmCause> unproven,
      long ignored) {}

  Snapshot snapshot() {
    return new Snapshot(
        probes.snapshot(),
        book.snapshot(),
        book.outOfService(),
        slow.snapshot(),
        conditions.fallCause(),
        water.learnedDemand(),
        listening.snapshot(),
        conditions.explainedSince(),
        conditions.stopTold(),
        lastJudged,
        Set.copyOf(judged),
        unproven.snapshot(),
        ignored);
  }

  /** Makes a watch that has heard nothing yet what another was at a {@link #snapshot()}. */
  void restore(Snapshot s) {
    probes.restore(s.probes());
    book.restore(s.book(), s.outOfService());
    slow = SlowChecks.of(s.slow());
    conditions.restore(s.fallCause(), s.explainedSince(), s.stopTold());
    water.restoreLearnedDemand(s.learnedDemand());
    listening.restore(s.listening());
    lastJudged = s.lastJudged();
    judged.clear();
    judged.addAll(s.judged());
    unproven.restored(s.unproven());
    ignored = s.ignored();
  }

  /** Readings not taken: duplicates, late ones, and those of too many probes. */
  long ignoredReadings() {
    return ignored;
  }

  /**
   * Says what is the matter.
   *
   * @param now by the probes' clock: how old readings are
   * @param heard by the receiver's clock, which dates what is said and runs the delays: the clocks
   *     may be an hour apart, and a delay must not run by both in turn
   */
  private List<AlarmEvent> judge(long now, long heard) {
    lookAround(now, heard);
    if (present.isEmpty() && book.isEmpty()) {
      judged.clear();
      return List.of();
    }
    double since = lastJudged == NEVER ? REJUDGE_SECONDS : Micros.seconds(heard - lastJudged);
    if (present.equals(judged) && since >= 0.0 && since < REJUDGE_SECONDS) {
      return List.of();
    }
    lastJudged = heard;
    Instant instant = Micros.instant(heard);
    Findings findings =
        new Findings(
            here(now),
            slow,
            holding,
            conditions.isFallExplained(heard),
            new ProbeFindings(here(now), listening, heard));
    List<AlarmEvent> events = new ArrayList<>(book.pass(instant));
    for (AlarmCause cause : CAUSES) {
      if (present.contains(cause)) {
        SharedSupply.Said said = shared.said(tank, findings.of(cause), instant);
        book.present(instant, said.finding(), said.root(), said.tanks(), said.over())
            .ifPresent(events::add);
      } else if (!stocked || !isUnproven(cause)) {
        book.absent(instant, cause, () -> findings.allClear(cause, present)).ifPresent(events::add);
      }
    }
    Set<AlarmCause> swap = judged;
    judged = present;
    present = swap;
    return events;
  }

  /** Whether nothing has been heard yet that could tell that a cause is over. */
  private boolean isUnproven(AlarmCause cause) {
    return switch (cause) {
      case HELD_TOO_LONG -> false; // the farm's description tells
      case WASTE_HIGH -> !holding.knowsWork();
      default -> unproven.contains(cause);
    };
  }

  /** What is the matter now. Only a stocked tank has alarms. */
  private void lookAround(long now, long heard) {
    present.clear();
    if (slow.isDue(heard)) {
      slow.look(here(heard), Probes.anyStopped(probes.flows()));
    }
    if (!stocked) {
      return;
    }
    conditions.addTo(present, now, heard, slow);
    slow.addTo(present, heard);
    boolean wasteStands = judged.contains(AlarmCause.WASTE_HIGH);
    holding.look(here(heard), wasteStands);
    holding.addTo(present, wasteStands, heard);
  }

  private TankNow here(long now) {
    return new TankNow(tank, floors, probes, water, now);
  }

  TankState state(Instant instant) {
    TankNow here = here(Micros.of(instant));
    @Nullable Band demand = water.demandMgPerKgPerHour(tank);
    boolean watched = here.speaking() != null;
    return new TankState(
        tank.id(),
        instant,
        here.newestReading(),
        here.oxygenMgPerL(),
        here.saturationPercent(),
        here.temperatureC(),
        here.gasFlow(),
        here.slopeMgPerLPerMin(),
        demand == null ? OptionalDouble.empty() : OptionalDouble.of(demand.likely()),
        watched ? asThingsGo(here) : here.unwatched(),
        watched ? here.ifGasStops() : here.unwatched(),
        book.standing(),
        TankChecks.of(here, slow),
        book.outOfService());
  }

  /** Where a meter of flow or pressure knows of a stop, it counts from now; a trend comes later. */
  private TimeInHand asThingsGo(TankNow here) {
    boolean known =
        judged.contains(AlarmCause.GAS_LINE_STOPPED)
            || judged.contains(AlarmCause.GAS_NOT_REACHING_WATER);
    return known && here.falling() == null ? here.ifGasStops() : here.asThingsGo();
  }
}
