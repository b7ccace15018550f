// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.Stream;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.evening.EveningCheck;
import opercle.analysis.evening.Morning;
import opercle.analysis.evening.Reach;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.publish.TankAct;
import opercle.analysis.stock.Species;
import opercle.analysis.watch.Belief;
import opercle.analysis.watch.Origins;
import opercle.analysis.watch.TankChecks;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import opercle.ingest.reading.Rejection;

/**
 * Sallowmere, a made-up farm, in whatever state a test wants. Its time stands still unless the test
 * moves it. Safe for many threads.
 */
final class FakeFarm implements LiveFarm {

  static final Instant NIGHT = Instant.parse("2026-03-14T02:11:07Z");

  private final Farm farm;
  private final Map<String, TankState> states = new LinkedHashMap<>();
  private Instant now = NIGHT;
  private ZoneId zone = ZoneId.systemDefault();
  private final List<TankAct> acts = new ArrayList<>();
  private Optional<RuntimeException> refusal = Optional.empty();
  private NotTaken notTaken = NotTaken.NOTHING;
  private List<MonitorState.Called> called = List.of();
  private List<String> troubles = List.of();
  private MonitorState monitor = MonitorState.UNKNOWN;
  private Reach reach = Reach.NOT_KNOWN;
  private Optional<EveningCheck> evening = Optional.empty();

  FakeFarm(List<Tank> tanks) {
    this.farm = new Farm("Sallowmere", 40.0, tanks);
  }

  /** Five tanks; every one is holding. */
  static FakeFarm quiet() {
    var fake =
        new FakeFarm(
            List.of(
                air("h1", "Holding 1", 45.0, load(Species.TENCH, 55.0, 70)),
                air("h2", "Holding 2", 40.0, load(Species.COMMON_CARP, 280.0, 112)),
                air("h3", "Holding 3", 38.0, load(Species.ROACH, 18.0, 160)),
                air("q1", "Quarantine", 20.0, load(Species.PERCH, 9.5, 30)),
                trailer()));
    fake.set(holding("h1", 9.1, 87.0, 12.4, 45.2, 64.0));
    fake.set(holding("h2", 8.6, 82.0, 12.6, 40.1, 33.0));
    fake.set(holding("h3", 9.6, 91.0, 12.2, 37.8, 190.0));
    fake.set(holding("q1", 9.9, 94.0, 12.0, 20.3, 260.0));
    fake.set(holding("t1", 9.4, 88.0, 11.8, 2.5, 14.0));
    return fake;
  }

  /** The same farm when things have gone wrong in three tanks. */
  static FakeFarm troubled() {
    FakeFarm fake = quiet();
    fake.set(
        falling("h2", 8.3, -0.19, new Band(24.0, 31.5, 40.0), 0.0),
        new Alarm(
            "h2",
            AlarmCause.GAS_LINE_STOPPED,
            Priority.HIGH,
            AlarmState.UNACKNOWLEDGED,
            NIGHT.minusSeconds(95),
            Optional.empty(),
            "Holding 2: no gas flow for 95 s. About 31 min in hand. Check valve, regulator, cylinder"
                + " or blower."));
    fake.set(
        falling("t1", 8.8, -0.01, new Band(140.0, 190.0, 260.0), 2.4),
        new Alarm(
            "t1",
            AlarmCause.CYLINDER_LOW,
            Priority.MEDIUM,
            AlarmState.ACKNOWLEDGED,
            NIGHT.minusSeconds(1500),
            Optional.of("Maren"),
            "Trailer tank: 62 bar left, about 3 h at this flow. Have the next cylinder ready."));
    TankState silent = fake.state("q1");
    fake.set(
        new TankState(
            "q1",
            silent.time(),
            Optional.of(NIGHT.minusSeconds(412)),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.of(20.3),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            new TimeInHand.Unknown("no oxygen reading for 6 min"),
            new TimeInHand.Unknown("no oxygen reading for 6 min"),
            List.of()),
        new Alarm(
            "q1",
            AlarmCause.PROBE_SILENT,
            Priority.LOW,
            AlarmState.UNACKNOWLEDGED,
            NIGHT.minusSeconds(352),
            Optional.empty(),
            "Quarantine: the oxygen probe has sent nothing for 6 min. Look at its cable and power."));
    fake.notTaken(
        new NotTaken(
            Map.of(Rejection.Reason.OUT_OF_RANGE, 3L, Rejection.Reason.UNKNOWN_TANK, 12L),
            List.of(
                new Rejection(
                    Rejection.Reason.OUT_OF_RANGE,
                    "tanks/q1/temperature",
                    "temperature: 85.0 °C is outside -10.0 to 60.0 °C.",
                    NIGHT.minusSeconds(400)))));
    return fake;
  }

  synchronized void set(TankState state, Alarm... alarms) {
    List<Alarm> standing = new ArrayList<>(state.alarms());
    standing.addAll(List.of(alarms));
    states.put(state.tank(), with(state, standing));
  }

  /** From now on the watch believes this of a tank's probes and supply; the rest stays. */
  synchronized void believe(
      String tank, TankChecks.Trust trust, TankChecks.Supply supply, Belief belief) {
    TankState s = state(tank);
    TankChecks c = s.checks();
    states.put(
        tank,
        new TankState(
            s.tank(),
            s.time(),
            s.newestReading(),
            s.oxygenMgPerL(),
            s.saturationPercent(),
            s.temperatureC(),
            s.gasFlowLPerMin(),
            s.slopeMgPerLPerMin(),
            s.demandMgPerKgPerHour(),
            s.timeInHand(),
            s.timeInHandIfGasStops(),
            s.alarms(),
            new TankChecks(
                trust,
                supply,
                c.cylinderMinutes(),
                c.warmingCPerHour(),
                c.warmLimitC(),
                c.origins(),
                belief),
            s.outOfService()));
  }

  synchronized TankState state(String tank) {
    return Objects.requireNonNull(states.get(tank), tank);
  }

  synchronized void advance(Duration by) {
    now = now.plus(by);
  }

  synchronized void notTaken(NotTaken newest) {
    notTaken = newest;
  }

  synchronized void zone(ZoneId newest) {
    zone = newest;
  }

  @Override
  public synchronized Morning morning() {
    return new Morning(Morning.USUAL, zone);
  }

  synchronized void monitor(MonitorState newest) {
    monitor = newest;
  }

  @Override
  public synchronized MonitorState monitor() {
    return monitor;
  }

  synchronized void suffer(String... sentences) {
    troubles = List.of(sentences);
  }

  /** From now on people are called for these troubles of the monitor. */
  synchronized void called(MonitorState.Called... now) {
    called = List.of(now);
  }

  @Override
  public synchronized List<MonitorState.Called> called() {
    return called;
  }

  /** From now on the evening check says this, whatever the states are. */
  synchronized void evening(EveningCheck check) {
    evening = Optional.of(check);
  }

  /** From now on these people would be called, by mail, and the way to them was just tested. */
  synchronized void called(String... people) {
    reach =
        new Reach(
            true,
            Stream.of(people)
                .map(p -> new Reach.Way(p, "mail", Optional.of(NIGHT), Optional.empty()))
                .toList());
  }

  @Override
  public synchronized Reach reach() {
    return reach;
  }

  @Override
  public synchronized EveningCheck evening() {
    return evening.orElseGet(LiveFarm.super::evening);
  }

  @Override
  public synchronized List<String> troubles() {
    return troubles;
  }

  @Override
  public Farm farm() {
    return farm;
  }

  @Override
  public synchronized Instant now() {
    return now;
  }

  @Override
  public synchronized List<TankState> states() {
    return List.copyOf(states.values());
  }

  @Override
  public synchronized void perform(TankAct act) {
    refusal.ifPresent(
        e -> {
          throw e;
        });
    acts.add(act);
    if (act instanceof TankAct.OnAlarm a && a.what() == TankAct.OnAlarm.What.ACKNOWLEDGE) {
      TankState state = state(a.tank());
      List<Alarm> alarms =
          state.alarms().stream()
              .map(alarm -> alarm.cause() == a.cause() ? acknowledged(alarm, a.by()) : alarm)
              .toList();
      states.put(a.tank(), with(state, alarms));
    }
  }

  /** What people did, in order. */
  synchronized List<TankAct> acts() {
    return List.copyOf(acts);
  }

  /** From now on everything that people do fails so. */
  synchronized void refuse(RuntimeException with) {
    refusal = Optional.of(with);
  }

  @Override
  public synchronized NotTaken notTaken() {
    return notTaken;
  }

  private static Alarm acknowledged(Alarm a, String by) {
    return new Alarm(
        a.tank(),
        a.cause(),
        a.priority(),
        AlarmState.ACKNOWLEDGED,
        a.since(),
        Optional.of(by),
        a.message());
  }

  private static TankState with(TankState s, List<Alarm> alarms) {
    return new TankState(
        s.tank(),
        s.time(),
        s.newestReading(),
        s.oxygenMgPerL(),
        s.saturationPercent(),
        s.temperatureC(),
        s.gasFlowLPerMin(),
        s.slopeMgPerLPerMin(),
        s.demandMgPerKgPerHour(),
        s.timeInHand(),
        s.timeInHandIfGasStops(),
        alarms,
        s.checks());
  }

  /** Readings of a second ago; nothing else is told. */
  private static TankChecks heard() {
    Optional<Origins.Heard> heard = Optional.of(new Origins.Heard("1", NIGHT.minusSeconds(1)));
    return new TankChecks(
        TankChecks.Trust.UNKNOWN,
        TankChecks.Supply.UNKNOWN,
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        new Origins(heard, heard, heard, Optional.of(false), Optional.empty()));
  }

  static TankState holding(
      String tank,
      double oxygenMgPerL,
      double saturationPercent,
      double temperatureC,
      double flowLPerMin,
      double minutesIfGasStops) {
    return new TankState(
        tank,
        NIGHT,
        Optional.of(NIGHT.minusSeconds(1)),
        OptionalDouble.of(oxygenMgPerL),
        OptionalDouble.of(saturationPercent),
        OptionalDouble.of(temperatureC),
        OptionalDouble.of(flowLPerMin),
        OptionalDouble.of(0.0),
        OptionalDouble.of(58.0),
        new TimeInHand.Holding(),
        new TimeInHand.Minutes(
            new Band(0.75 * minutesIfGasStops, minutesIfGasStops, 1.3 * minutesIfGasStops)),
        List.of(),
        heard());
  }

  static TankState falling(
      String tank,
      double oxygenMgPerL,
      double slopeMgPerLPerMin,
      Band minutesInHand,
      double flowLPerMin) {
    return new TankState(
        tank,
        NIGHT,
        Optional.of(NIGHT.minusSeconds(1)),
        OptionalDouble.of(oxygenMgPerL),
        OptionalDouble.of(oxygenMgPerL * 9.6),
        OptionalDouble.of(12.6),
        OptionalDouble.of(flowLPerMin),
        OptionalDouble.of(slopeMgPerLPerMin),
        OptionalDouble.of(61.0),
        new TimeInHand.Minutes(minutesInHand),
        new TimeInHand.Minutes(flowLPerMin == 0.0 ? minutesInHand : new Band(8.0, 12.0, 17.0)),
        List.of(),
        heard());
  }

  static Tank air(String id, String name, double flowLPerMin, Tank.Load load) {
    return new Tank(
        id,
        name,
        Tank.Kind.HOLDING,
        1500.0,
        0.8,
        new Tank.Supply(
            Tank.Gas.AIR,
            Tank.Source.BLOWER,
            Tank.Diffuser.POROUS_HOSE,
            flowLPerMin,
            Optional.empty()),
        List.of(load),
        Optional.empty());
  }

  static Tank.Load load(Species species, double kg, int count) {
    return new Tank.Load(
        species, kg, OptionalInt.of(count), Optional.of(Instant.parse("2026-03-12T17:00:00Z")));
  }

  private static Tank trailer() {
    return new Tank(
        "t1",
        "Trailer tank",
        Tank.Kind.TRANSPORT,
        650.0,
        0.7,
        new Tank.Supply(
            Tank.Gas.OXYGEN,
            Tank.Source.CYLINDER,
            Tank.Diffuser.CERAMIC,
            2.5,
            Optional.of(new Tank.Cylinder(20.0, 200.0))),
        List.of(load(Species.COMMON_CARP, 140.0, 60)),
        Optional.of(new Tank.Floors(6.0, 3.0)));
  }
}
