// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.function.UnaryOperator;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.alarm.Priority;
import opercle.analysis.evening.Check.Answer;
import opercle.analysis.evening.Check.Topic;
import opercle.analysis.evening.EveningCheck.TankEvening;
import opercle.analysis.evening.EveningView.Trouble;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.analysis.watch.TankChecks;
import opercle.analysis.watch.TankChecks.Supply;
import opercle.analysis.watch.TankChecks.Trust;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class EveningCheckTest {

  private static final Instant DUSK = Instant.parse("2026-03-14T21:00:00Z");
  private static final Instant MORNING = Instant.parse("2026-03-15T07:00:00Z");

  private static final ZoneId FARMS = ZoneId.of("Europe/London");

  private static final TankChecks WELL =
      new TankChecks(
          Trust.TRUSTED,
          Supply.NORMAL,
          OptionalDouble.of(1_500.0),
          OptionalDouble.of(-0.2),
          OptionalDouble.of(30.0));

  private static final Reach ANN =
      new Reach(
          true,
          List.of(
              new Reach.Way(
                  "Ann", "mail", Optional.of(DUSK.minus(Duration.ofHours(3))), Optional.empty())));

  @Test
  void everythingWell_canGoToBed() {
    EveningCheck evening = check(trailer(10.0), state("t1"));

    assertThat(evening.canGoToBed()).isTrue();
    assertThat(evening.open()).isZero();
    assertThat(only(evening).checks())
        .extracting(Check::topic)
        .containsExactly(
            Topic.PROBES,
            Topic.OXYGEN,
            Topic.SUPPLY,
            Topic.TIME_IN_HAND,
            Topic.CYLINDER,
            Topic.WATER,
            Topic.ALARMS);
  }

  /** 20 to 40 minutes in hand: the low bound counts, and one minute to notice with a meter. */
  @ParameterizedTest
  @CsvSource({"18.9, YES", "19.0, NO", "25.0, NO"})
  void timeInHand_againstResponse_goesByTheLowBound(double responseMinutes, Answer answer) {
    Check found = found(check(trailer(responseMinutes), state("t1")), Topic.TIME_IN_HAND);

    assertThat(found.answer()).isEqualTo(answer);
  }

  @Test
  void lessTimeThanItTakes_saysThatNoAlarmCanSaveIt_everyEvening() {
    EveningCheck first = check(trailer(25.0), state("t1"));
    EveningCheck again = check(trailer(25.0), state("t1"));

    Check found = found(first, Topic.TIME_IN_HAND);
    assertThat(found.words())
        .isEqualTo(
            "No alarm can save this tank: if gas stops, 20 min in hand at the least; 26 min needed,"
                + " 1 min to notice and 25 min for you to get gas flowing.");
    assertThat(found.action().orElseThrow()).contains("stand-by oxygen").contains("take fish out");
    assertThat(first.canGoToBed()).isFalse();
    assertThat(again).isEqualTo(first);
  }

  @Test
  void timeInHand_withoutMeter_takesLongerToNotice() {
    TankState unmetered =
        state("t1", c -> checks(Trust.TRUSTED, Supply.NOT_MEASURED, c.cylinderMinutes()));

    assertThat(found(check(trailer(13.9), unmetered), Topic.TIME_IN_HAND).isWell()).isTrue();
    assertThat(found(check(trailer(14.0), unmetered), Topic.TIME_IN_HAND).isWell()).isFalse();
  }

  /** 20 min in hand at the least: a pause may take a third of it, and is part of the notice. */
  @ParameterizedTest
  @CsvSource({"6.6, 11.0, YES", "6.6, 11.2, NO", "6.7, 1.0, NO"})
  void timeInHand_withATimer_allowsForItsPause(double pause, double response, Answer answer) {
    Check found = found(check(timed(trailer(response), pause), state("t1")), Topic.TIME_IN_HAND);

    assertThat(found.answer()).isEqualTo(answer);
  }

  @Test
  void pauseThatIsLongAgainstTheTimeInHand_isSaid() {
    Check found = found(check(timed(trailer(1.0), 15.0), state("t1")), Topic.TIME_IN_HAND);

    assertThat(found.words())
        .isEqualTo(
            "Its timer may shut the gas off for 15 min, and if gas stops, 20 min in hand at the"
                + " least: too long a pause, in which nobody would know.");
    assertThat(found.action().orElseThrow()).contains("shorter pauses");
  }

  private static Tank timed(Tank t, double pause) {
    return new Tank(
        t.id(),
        t.name(),
        t.kind(),
        t.waterLitres(),
        t.depthM(),
        t.supply().withPauses(pause),
        t.loads(),
        t.floors(),
        t.responseMinutes());
  }

  @Test
  void responseNotSaid_isNotKnown_andSaysWhereToSayIt() {
    Tank silent = tank("t1", Tank.Source.CYLINDER, OptionalDouble.empty(), 140.0);

    Check found = found(check(silent, state("t1")), Topic.TIME_IN_HAND);

    assertThat(found.answer()).isEqualTo(Answer.UNKNOWN);
    assertThat(found.action().orElseThrow()).contains("Change the tank");
  }

  @Test
  void tankNeverHeard_isNotKnownToBeWell() {
    EveningCheck evening = check(trailer(10.0));

    assertThat(evening.canGoToBed()).isFalse();
    assertThat(only(evening).answer()).isEqualTo(Answer.UNKNOWN);
  }

  @Test
  void stateOlderThanFifteenSeconds_isNoAnswer() {
    TankState old = at(state("t1"), DUSK.minusSeconds(16));
    TankState fresh = at(state("t1"), DUSK.minusSeconds(15));

    assertThat(check(trailer(10.0), old).canGoToBed()).isFalse();
    assertThat(check(trailer(10.0), fresh).canGoToBed()).isTrue();
  }

  @ParameterizedTest
  @CsvSource({"TRUSTED, YES", "DOUBTED, NO", "NONE, NO", "UNKNOWN, UNKNOWN"})
  void probe_goesByItsTrust(Trust trust, Answer answer) {
    TankState state = state("t1", c -> checks(trust, Supply.NORMAL, c.cylinderMinutes()));

    assertThat(found(check(trailer(10.0), state), Topic.PROBES).answer()).isEqualTo(answer);
  }

  @ParameterizedTest
  @CsvSource({"NORMAL, YES", "NOT_MEASURED, YES", "LOW, NO", "STOPPED, NO", "UNKNOWN, UNKNOWN"})
  void supply_withOxygenHolding(Supply supply, Answer answer) {
    TankState state = state("t1", c -> checks(Trust.TRUSTED, supply, c.cylinderMinutes()));

    assertThat(found(check(trailer(10.0), state), Topic.SUPPLY).answer()).isEqualTo(answer);
  }

  /**
   * Saturation 10.0 mg/L at the surface, 10.34 at half of 0.7 m, keep floor 6.0: in balance at 8.0
   * the air brings 4.34 / 2.34 at the floor of what it brings now. Reckoned by hand.
   */
  @ParameterizedTest
  @CsvSource({
    "9.5, 0.0, YES, four times as much",
    "8.0, 0.0, YES, 85 % more",
    "7.0, 0.01, YES, 29 % more",
    "6.5, -0.003, NO, 13 % more",
    "6.5, -0.004, YES, as usual.", // it falls
    "10.0, 0.0, YES, as usual.", // the air brings nothing,
    "6.0, 0.0, NO, 0 % more"
  })
  void blowersMargin_isWhatTheFishCouldBreatheMore(
      double oxygen, double slope, Answer answer, String words) {
    TankState s = state("t1");
    TankState holding =
        new TankState(
            s.tank(),
            s.time(),
            s.newestReading(),
            OptionalDouble.of(oxygen),
            OptionalDouble.of(10.0 * Math.min(oxygen, 10.0)),
            s.temperatureC(),
            s.gasFlowLPerMin(),
            OptionalDouble.of(slope),
            s.demandMgPerKgPerHour(),
            s.timeInHand(),
            s.timeInHandIfGasStops(),
            s.alarms(),
            s.checks());

    Check found = found(check(onAir(), holding), Topic.SUPPLY);

    assertThat(found.words()).contains(words);
    assertThat(found.answer()).isEqualTo(answer);
    assertThat(found(check(trailer(10.0), holding), Topic.SUPPLY).words())
        .as("a cylinder's margin is its own")
        .isEqualTo("Gas comes as usual.");
  }

  @Test
  void unmeteredSupply_withDoubtedProbe_isNotKnown() {
    TankState state =
        state("t1", c -> checks(Trust.DOUBTED, Supply.NOT_MEASURED, c.cylinderMinutes()));

    assertThat(found(check(trailer(10.0), state), Topic.SUPPLY).answer()).isEqualTo(Answer.UNKNOWN);
  }

  /** Ten hours until the morning. */
  @ParameterizedTest
  @CsvSource({"600, YES", "599, NO"})
  void cylinder_mustLastUntilTheMorning(double minutes, Answer answer) {
    TankState state =
        state("t1", c -> checks(Trust.TRUSTED, Supply.NORMAL, OptionalDouble.of(minutes)));

    assertThat(found(check(trailer(10.0), state), Topic.CYLINDER).answer()).isEqualTo(answer);
  }

  @Test
  void cylinderWithoutGauge_isNotKnown_andBlowerHasNone() {
    TankState state =
        state("t1", c -> checks(Trust.TRUSTED, Supply.NORMAL, OptionalDouble.empty()));
    Tank onBlower = tank("t1", Tank.Source.BLOWER, OptionalDouble.of(10.0), 140.0);

    assertThat(found(check(trailer(10.0), state), Topic.CYLINDER).answer())
        .isEqualTo(Answer.UNKNOWN);
    assertThat(check(onBlower, state).canGoToBed()).isTrue();
  }

  /** 12 °C under a limit of 30 °C: three hours at 6 °C an hour reach it, at 6.1 pass it. */
  @ParameterizedTest
  @CsvSource({"6.0, YES", "6.1, NO", "-9.0, YES"})
  void water_goesByItsTrend(double warmingPerHour, Answer answer) {
    TankState state =
        state(
            "t1",
            c ->
                new TankChecks(
                    c.oxygenProbe(),
                    c.supply(),
                    c.cylinderMinutes(),
                    OptionalDouble.of(warmingPerHour),
                    c.warmLimitC()));

    assertThat(found(check(trailer(10.0), state), Topic.WATER).answer()).isEqualTo(answer);
  }

  @ParameterizedTest
  @EnumSource(
      value = AlarmState.class,
      mode = EnumSource.Mode.EXCLUDE,
      names = {"NORMAL", "SUPPRESSED"})
  void alarm_inAnyState_isNotYet_withAnActionOfItsOwn(AlarmState standing) {
    EveningCheck evening = check(trailer(10.0), alarmed(standing));

    assertThat(evening.canGoToBed()).isFalse();
    assertThat(found(evening, Topic.ALARMS).action()).isPresent();
  }

  /** No alarm stands, and none would call: that is no quiet night. */
  @Test
  void tankOutOfService_isNotYet_thoughNoAlarmStands() {
    OutOfService order =
        new OutOfService(
            Optional.empty(), "new hose", "Ann", DUSK, Instant.parse("2026-04-02T14:00:00Z"));
    TankState away = with(state("t1"), DUSK, List.of(), List.of(order));

    EveningCheck evening = check(trailer(10.0), away);

    assertThat(evening.canGoToBed()).isFalse();
    assertThat(found(evening, Topic.ALARMS).words())
        .isEqualTo(
            "Out of service, by Ann until 15:00 on 2 April (new hose): no alarm of it calls anybody.");
  }

  @Test
  void suppressedAlarm_isToldByItsRootAlone() {
    assertThat(check(trailer(10.0), alarmed(AlarmState.SUPPRESSED)).canGoToBed()).isTrue();
  }

  @Test
  void emptyTank_isLeftOut() {
    Tank empty = tank("t1", Tank.Source.CYLINDER, OptionalDouble.of(10.0), 0.0);

    assertThat(check(empty, state("t1")).tanks()).isEmpty();
  }

  @Test
  void tanks_comeWorstFirst() {
    Farm farm =
        new Farm(
            "Sallowmere",
            40.0,
            List.of(
                tank("a", Tank.Source.CYLINDER, OptionalDouble.of(5.0), 100.0),
                tank("b", Tank.Source.CYLINDER, OptionalDouble.empty(), 100.0),
                tank("c", Tank.Source.CYLINDER, OptionalDouble.of(60.0), 100.0)));

    EveningCheck evening =
        EveningCheck.of(
            new EveningView(
                farm,
                DUSK,
                MORNING,
                FARMS,
                List.of(state("a"), state("b"), state("c")),
                List.of(),
                ANN));

    assertThat(evening.tanks()).extracting(TankEvening::tank).containsExactly("c", "b", "a");
  }

  @Test
  void nobodySetUp_saysThatNobodyWouldBeCalled() {
    Check found = people(Reach.NOBODY);

    assertThat(found.answer()).isEqualTo(Answer.NO);
    assertThat(found.words()).startsWith("Nobody would be called");
  }

  @ParameterizedTest
  @CsvSource({"25, YES", "27, UNKNOWN"})
  void channel_mustHaveBeenTestedSinceYesterdaysEvening(int hoursAgo, Answer answer) {
    Check found =
        people(
            new Reach(
                true,
                List.of(
                    new Reach.Way(
                        "Ann",
                        "mail",
                        Optional.of(DUSK.minus(Duration.ofHours(hoursAgo))),
                        Optional.empty()))));

    assertThat(found.answer()).isEqualTo(answer);
  }

  @Test
  void channelNeverTestedOrNotKnown_isNotYet() {
    Reach never =
        new Reach(true, List.of(new Reach.Way("Ann", "mail", Optional.empty(), Optional.empty())));

    assertThat(people(never).answer()).isEqualTo(Answer.UNKNOWN);
    assertThat(people(Reach.NOT_KNOWN).answer()).isEqualTo(Answer.UNKNOWN);
  }

  @Test
  void deadChannel_isNo_thoughItWasTestedToday() {
    Reach dead =
        new Reach(
            true,
            List.of(new Reach.Way("Ann", "mail", Optional.of(DUSK), Optional.of("Refused."))));

    assertThat(people(dead).answer()).isEqualTo(Answer.NO);
  }

  @Test
  void troubleOfTheMonitor_isNotYet() {
    EveningCheck evening =
        EveningCheck.of(
            new EveningView(
                new Farm("Sallowmere", 40.0, List.of(trailer(10.0))),
                DUSK,
                MORNING,
                FARMS,
                List.of(state("t1")),
                List.of(new Trouble("The disk is full.", "Make room.")),
                ANN));

    assertThat(evening.canGoToBed()).isFalse();
    assertThat(evening.farm().get(0).action()).contains("Make room.");
  }

  @Test
  void morning_isTheNextOne_alsoOverAClockChange() {
    Morning morning = new Morning(LocalTime.of(7, 0), ZoneId.of("Europe/Berlin"));

    assertThat(morning.after(Instant.parse("2026-03-28T21:00:00Z")))
        .isEqualTo("2026-03-29T05:00:00Z");
    assertThat(morning.after(Instant.parse("2026-03-29T05:00:00Z")))
        .isEqualTo("2026-03-30T05:00:00Z");
    assertThat(morning.after(Instant.parse("2026-03-28T05:59:00Z")))
        .isEqualTo("2026-03-28T06:00:00Z");
  }

  @Test
  void check_withoutActionWhereNotWell_isRefused() {
    assertThatThrownBy(() -> new Check(Topic.WATER, Answer.NO, "Warm.", Optional.empty()))
        .isInstanceOf(IllegalArgumentException.class);
  }

  // ---- fixtures

  private static Check people(Reach reach) {
    EveningCheck evening =
        EveningCheck.of(
            new EveningView(
                new Farm("Sallowmere", 40.0, List.of(trailer(10.0))),
                DUSK,
                MORNING,
                FARMS,
                List.of(state("t1")),
                List.of(),
                reach));
    return evening.farm().stream().filter(c -> c.topic() == Topic.PEOPLE).findFirst().orElseThrow();
  }

  private static EveningCheck check(Tank tank, TankState... states) {
    return EveningCheck.of(
        new EveningView(
            new Farm("Sallowmere", 40.0, List.of(tank)),
            DUSK,
            MORNING,
            FARMS,
            List.of(states),
            List.of(),
            ANN));
  }

  private static TankEvening only(EveningCheck evening) {
    assertThat(evening.tanks()).hasSize(1);
    return evening.tanks().get(0);
  }

  private static Check found(EveningCheck evening, Topic topic) {
    return only(evening).checks().stream()
        .filter(c -> c.topic() == topic)
        .findFirst()
        .orElseThrow();
  }

  private static Tank trailer(double responseMinutes) {
    return tank("t1", Tank.Source.CYLINDER, OptionalDouble.of(responseMinutes), 140.0);
  }

  private static Tank tank(String id, Tank.Source source, OptionalDouble response, double kg) {
    return new Tank(
        id,
        "Trailer tank",
        Tank.Kind.TRANSPORT,
        650.0,
        0.7,
        new Tank.Supply(
            Tank.Gas.OXYGEN,
            source,
            Tank.Diffuser.CERAMIC,
            2.5,
            source == Tank.Source.CYLINDER
                ? Optional.of(new Tank.Cylinder(20.0, 200.0))
                : Optional.empty()),
        List.of(new Tank.Load(Species.COMMON_CARP, kg, OptionalInt.of(60), Optional.empty())),
        Optional.of(new Tank.Floors(6.0, 3.0)),
        response);
  }

  private static Tank onAir() {
    Tank t = tank("t1", Tank.Source.BLOWER, OptionalDouble.of(10.0), 140.0);
    return new Tank(
        t.id(),
        t.name(),
        Tank.Kind.HOLDING,
        t.waterLitres(),
        t.depthM(),
        new Tank.Supply(
            Tank.Gas.AIR, Tank.Source.BLOWER, Tank.Diffuser.CERAMIC, 45.0, Optional.empty()),
        t.loads(),
        t.floors(),
        t.responseMinutes());
  }

  private static TankChecks checks(Trust trust, Supply supply, OptionalDouble cylinderMinutes) {
    return new TankChecks(
        trust, supply, cylinderMinutes, WELL.warmingCPerHour(), WELL.warmLimitC());
  }

  private static TankState state(String tank) {
    return state(tank, c -> c);
  }

  private static TankState state(String tank, UnaryOperator<TankChecks> change) {
    return new TankState(
        tank,
        DUSK,
        Optional.of(DUSK.minusSeconds(2)),
        OptionalDouble.of(9.4),
        OptionalDouble.of(88.0),
        OptionalDouble.of(12.0),
        OptionalDouble.of(2.5),
        OptionalDouble.of(0.0),
        OptionalDouble.of(64.0),
        new TimeInHand.Holding(),
        new TimeInHand.Minutes(new Band(20.0, 28.0, 40.0)),
        List.of(),
        change.apply(WELL));
  }

  private static TankState at(TankState s, Instant time) {
    return with(s, time, s.alarms());
  }

  private static TankState alarmed(AlarmState standing) {
    return with(
        state("t1"),
        DUSK,
        List.of(
            new Alarm(
                "t1",
                AlarmCause.CYLINDER_LOW,
                Priority.LOW,
                standing,
                DUSK.minusSeconds(600),
                Optional.of("Ann"),
                "Trailer tank: the cylinder lasts about 11 h more.")));
  }

  private static TankState with(TankState s, Instant time, List<Alarm> alarms) {
    return with(s, time, alarms, s.outOfService());
  }

  private static TankState with(
      TankState s, Instant time, List<Alarm> alarms, List<OutOfService> outOfService) {
    return new TankState(
        s.tank(),
        time,
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
        s.checks(),
        outOfService);
  }
}
