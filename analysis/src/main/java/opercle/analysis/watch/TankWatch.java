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
import opercle.ingest.reading.Quantity;
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

  /** What was done at a tank explains a fall for this long, seconds (common practice). */
  private static final double EXPLAINS_SECONDS = 2700.0;

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
          AlarmCause.OXYGEN_HIGH);

  /**
   * Without any oxygen reading for this long since the start a tank is not watched, seconds: five
   * intervals of the slowest ordinary probe, as for one that falls silent.
   */
  static final double NEVER_HEARD_SECONDS = 300.0;

  /** A probe that has been silent for this long is gone at the next start, seconds. */
  private static final double GONE_SECONDS = 86_400.0;

  private static final long NEVER = Long.MIN_VALUE;

  private Tank tank;
  private Tank.Floors floors;
  private boolean stocked;
  private final Probes probes = new Probes();
  private final Water water;
  private final AlarmBook book;
  private SharedSupply shared;
  private SlowChecks slow = new SlowChecks();

  /**
   * What the present fall was raised as; null while there is none, or the gas line has the alarm.
   */
  private @Nullable AlarmCause fallCause;

  private ReceiverClock receiver = ReceiverClock.NOT_HEARD;
  private long explainedSince = NEVER;
  private long lastJudged = NEVER;
  private Set<AlarmCause> present = EnumSet.noneOf(AlarmCause.class);
  private Set<AlarmCause> judged = EnumSet.noneOf(AlarmCause.class);
  private long ignored;

  /** Whether the next tick is the first that somebody listens from. */
  private boolean starting;

  /** Since when somebody listens, by the receiver's clock. */
  private long listeningSince = NEVER;

  /** Whether nobody has told oxygen since then, for too long. */
  private boolean unheard;

  /** Restored alarms of whose present nothing has been heard yet. */
  private final Set<AlarmCause> unproven = EnumSet.noneOf(AlarmCause.class);

  TankWatch(Tank tank, double altitudeM) {
    this.tank = tank;
    this.floors = tank.floorsInForce();
    this.stocked = tank.isStocked();
    this.water = new Water(probes, altitudeM);
    this.book = new AlarmBook(tank.id());
    this.shared = new SharedSupply("");
  }

  /** Which tanks lose their gas together with this one. */
  void shares(SharedSupply supply) {
    shared = supply;
    supply.add(tank, book);
  }

  /** The tank is described anew: other fish, other water, other floors. What was learned stays. */
  void describe(Tank description, double altitudeM) {
    if (!description.loads().equals(tank.loads())) {
      water.forgetDemand();
    }
    this.tank = description;
    this.floors = description.floorsInForce();
    this.stocked = description.isStocked();
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
    probe.rhythm = before.next(time, receiver.heardAt(time));
    if (probe.rhythm.taken() == before.taken()) {
      ignored++;
      return List.of();
    }
    probe.silent = false;
    probe.value = reading.value();
    unheard &= !probe.measuresOxygen();
    if (!unproven.isEmpty()) {
      unproven.removeIf(cause -> isProvenBy(reading.quantity(), cause));
    }
    take(probe);
    return judge(probe.rhythm.last(), receiver.heardAt(probe.rhythm.last()));
  }

  /** Whether a reading of that quantity can tell that a cause is over. */
  private static boolean isProvenBy(Quantity quantity, AlarmCause cause) {
    return switch (cause) {
      case GAS_LINE_STOPPED -> quantity == Quantity.GAS_FLOW;
      case CYLINDER_LOW -> quantity == Quantity.CYLINDER_PRESSURE;
      case WATER_WARM -> quantity == Quantity.TEMPERATURE;
      default -> quantity == Quantity.OXYGEN || quantity == Quantity.OXYGEN_SATURATION;
    };
  }

  /**
   * From the next tick on somebody listens who may have been away. A probe that had been silent for
   * a day before is taken to be no longer there: what it alone could tell is over, and if it was
   * the only one for oxygen, the tank is as one never heard.
   */
  void startListening() {
    starting = true;
    List<Probe> gone =
        probes.all().stream()
            .filter(p -> p.silent && p.rhythm.quietSeconds(receiver.last()) >= GONE_SECONDS)
            .toList();
    probes.forget(gone);
    for (Probe p : gone) {
      if (probes.of(p.quantity).isEmpty() && !p.measuresOxygen()) {
        unproven.removeIf(cause -> isProvenBy(p.quantity, cause));
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
      }
    } else if (probe instanceof MeterProbe gas) {
      gas.meter = gas.meter.next(time, gas.value, setFlow(gas));
    }
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
    if (event.kind().explainsFall()) {
      explainedSince = Micros.of(event.time());
    }
    if (event.kind().movesReadings()) {
      probes.oxygen().forEach(OxygenProbe::startAgain);
      fallCause = null;
    }
    if (event.kind() == TankEvent.Kind.GAS_CHANGED) {
      probes.flows().forEach(p -> p.meter = p.meter.relearn());
      probes.pressures().forEach(p -> p.meter = p.meter.relearn());
    }
  }

  List<AlarmEvent> tick(Instant instant) {
    long now = Micros.of(instant);
    long step = receiver.steppedBy(now);
    boolean wasAway = starting && step > 0; // silence counts on from the last reading
    if (step != 0 && !wasAway) {
      for (Probe p : probes.all()) {
        p.rhythm = p.rhythm.heardLaterBy(step);
      }
      slow.stepBy(step);
      listeningSince = listeningSince == NEVER ? NEVER : listeningSince + step;
    }
    if (starting) {
      starting = false;
      listeningSince = now;
    }
    receiver = receiver.tick(now);
    double listened = listenedSeconds(now);
    for (Probe p : probes.all()) {
      p.silent = p.rhythm.isSilent(now) && (p.silent || listened >= p.rhythm.silentAfterSeconds());
    }
    unheard |=
        listeningSince != NEVER && listened >= NEVER_HEARD_SECONDS && !probes.haveToldOxygen();
    return judge(now, now);
  }

  /** For how long somebody has listened; for ever where nobody said that they began. */
  private double listenedSeconds(long now) {
    return listeningSince == NEVER
        ? Double.POSITIVE_INFINITY
        : Micros.seconds(now - listeningSince);
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
    unproven.clear();
    unproven.addAll(saved.keySet());
  }

  /** One probe as a value; the last two are of meters and of oxygen probes only. */
  record ProbeSnapshot(
      Quantity quantity,
      String name,
      Rhythm rhythm,
      double value,
      boolean silent,
      @Nullable GasMeter meter,
      OxygenProbe.@Nullable Snapshot oxygen) {}

  /** The whole watch over a tank as a value. */
  record Snapshot(
      List<ProbeSnapshot> probes,
      Map<AlarmCause, AlarmEntry> book,
      List<OutOfService> outOfService,
      SlowChecks.Snapshot slow,
      @Nullable AlarmCause fallCause,
      double learnedDemand,
      ReceiverClock receiver,
      long explainedSince,
      long lastJudged,
      Set<AlarmCause> judged,
      Set<AlarmCause> unproven,
      boolean starting,
      long listeningSince,
      boolean unheard,
      long ignored) {}

  Snapshot snapshot() {
    List<ProbeSnapshot> all = new ArrayList<>();
    for (Probe p : probes.all()) {
      all.add(
          new ProbeSnapshot(
              p.quantity,
              p.name,
              p.rhythm,
              p.value,
              p.silent,
              p instanceof MeterProbe m ? m.meter : null,
              p instanceof OxygenProbe o ? o.snapshot() : null));
    }
    return new Snapshot(
        List.copyOf(all),
        book.snapshot(),
        book.outOfService(),
        slow.snapshot(),
        fallCause,
        water.learnedDemand(),
        receiver,
        explainedSince,
        lastJudged,
        Set.copyOf(judged),
        Set.copyOf(unproven),
        starting,
        listeningSince,
        unheard,
        ignored);
  }

  /** Makes a watch that has heard nothing yet what another was at a {@link #snapshot()}. */
  void restore(Snapshot s) {
    for (ProbeSnapshot saved : s.probes()) {
      @Nullable Probe p = probes.get(saved.quantity(), saved.name());
      if (p != null) {
        p.rhythm = saved.rhythm();
        p.value = saved.value();
        p.silent = saved.silent();
        if (p instanceof MeterProbe m && saved.meter() != null) {
          m.meter = saved.meter();
        }
        if (p instanceof OxygenProbe o && saved.oxygen() != null) {
          o.restore(saved.oxygen());
        }
      }
    }
    book.restore(s.book(), s.outOfService());
    slow = SlowChecks.of(s.slow());
    fallCause = s.fallCause();
    water.restoreLearnedDemand(s.learnedDemand());
    receiver = s.receiver();
    explainedSince = s.explainedSince();
    lastJudged = s.lastJudged();
    judged.clear();
    judged.addAll(s.judged());
    unproven.clear();
    unproven.addAll(s.unproven());
    starting = s.starting();
    listeningSince = s.listeningSince();
    unheard = s.unheard();
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
        new Findings(here(now), slow, isExplained(heard), unheard, listenedSeconds(heard));
    List<AlarmEvent> events = new ArrayList<>(book.pass(instant));
    for (AlarmCause cause : CAUSES) {
      if (present.contains(cause)) {
        SharedSupply.Said said = shared.said(tank, findings.of(cause), instant);
        book.present(instant, said.finding(), said.root(), said.tanks()).ifPresent(events::add);
      } else if (!unproven.contains(cause) || !stocked) {
        book.absent(instant, cause, () -> findings.allClear(cause)).ifPresent(events::add);
      }
    }
    Set<AlarmCause> swap = judged;
    judged = present;
    present = swap;
    return events;
  }

  /** What is the matter now. Only a stocked tank has alarms. */
  private void lookAround(long now, long heard) {
    present.clear();
    boolean gasStopped = Probes.anyStopped(probes.flows());
    if (slow.isDue(heard)) {
      slow.look(here(heard), gasStopped);
    }
    if (!stocked) {
      return;
    }
    if (gasStopped) {
      present.add(AlarmCause.GAS_LINE_STOPPED);
    }
    boolean falling = false;
    for (int i = 0; i < probes.oxygen().size(); i++) {
      OxygenProbe p = probes.oxygen().get(i);
      if (!probes.repeatsFreshProbe(p, now)) {
        falling |= p.fall != null;
        if (p.level.belowKeep()) {
          present.add(AlarmCause.OXYGEN_LOW);
        }
        if (p.doubt() != ProbeDoubt.NONE) {
          present.add(AlarmCause.PROBE_SUSPECT);
        }
      }
    }
    if (gasStopped && falling) {
      here(now).measuredDemand().ifPresent(d -> water.learnDemand(tank, d));
    }
    lookAtFall(now, heard, falling, gasStopped);
    if (!gasStopped && Probes.anyStopped(probes.pressures())) {
      present.add(AlarmCause.GAS_NOT_REACHING_WATER);
    }
    if (unheard) {
      present.add(AlarmCause.PROBE_SILENT);
    }
    for (int i = 0; i < probes.all().size(); i++) {
      if (probes.all().get(i).silent) {
        present.add(AlarmCause.PROBE_SILENT);
      }
    }
    slow.addTo(present, heard);
  }

  /** A fall has one alarm: the stopped line's if that was first, else the likelier of two. */
  private void lookAtFall(long now, long heard, boolean falling, boolean gasStopped) {
    if (!falling) {
      fallCause = null;
      return;
    }
    if (fallCause == null && !gasStopped) {
      fallCause =
          new Findings(here(now), slow, isExplained(heard), unheard, listenedSeconds(heard))
                  .fallLooksLikeLostSupply()
              ? AlarmCause.GAS_NOT_REACHING_WATER
              : AlarmCause.OXYGEN_FALLING;
    }
    if (fallCause != null) {
      present.add(fallCause);
    }
  }

  private boolean isExplained(long now) {
    if (explainedSince == NEVER) {
      return false;
    }
    double since = Micros.seconds(now - explainedSince);
    return since >= 0.0 && since <= EXPLAINS_SECONDS;
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
        book.outOfService());
  }

  /** Where the meter knows of a stop, it counts from now; a trend shows it only later. */
  private TimeInHand asThingsGo(TankNow here) {
    boolean notSeenYet = here.falling() == null;
    return notSeenYet && judged.contains(AlarmCause.GAS_LINE_STOPPED)
        ? here.ifGasStops()
        : here.asThingsGo();
  }
}
