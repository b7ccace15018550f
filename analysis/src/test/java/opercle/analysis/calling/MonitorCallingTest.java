// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalTime;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.memory.RecordText;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import org.assertj.core.groups.Tuple;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** The monitor's own troubles call people. */
class MonitorCallingTest {

  private static final Instant NOON = Instant.parse("2026-03-14T12:00:00Z");
  private static final RecordText<CallingState> TEXT = RecordText.of(CallingState.class);

  private Night night = Night.ofThree();

  private MonitorTrouble trouble(TroubleKind kind) {
    return new MonitorTrouble(TroubleKey.of(kind), night.now, "It is so.");
  }

  private void stand(TroubleKind... kinds) {
    stand(true, kinds);
  }

  private void stand(boolean stocked, TroubleKind... kinds) {
    night.hear(new News.Troubles(Arrays.stream(kinds).map(this::trouble).toList(), stocked));
  }

  private List<Kind> kinds() {
    return night.told.stream().map(t -> t.call().kind()).toList();
  }

  private long calls() {
    return kinds().stream().filter(k -> k == Kind.MONITOR).count();
  }

  private String key() {
    return night.state.monitor().keySet().iterator().next();
  }

  @ParameterizedTest
  @EnumSource(
      names = {"BROKER_LOST", "STORE_UNWRITABLE", "DISK_FULL", "PART_STUCK", "ANALYSIS_LATE"})
  void blindOrMute_wakesTheFirstPersonAtOnce_thenTheOthersInSteps(TroubleKind kind) {
    stand(kind);
    assertThat(night.toldNames()).containsExactly("Maren");
    assertThat(kinds()).containsExactly(Kind.MONITOR);

    night.pass(Duration.ofSeconds(89));
    assertThat(night.toldNames()).containsExactly("Maren");
    night.pass(Duration.ofSeconds(1));
    assertThat(night.toldNames()).containsExactly("Maren", "Tomas");
    night.pass(Duration.ofSeconds(90));
    assertThat(night.toldNames()).containsExactly("Maren", "Tomas", "Ines");
  }

  @ParameterizedTest
  @EnumSource(
      mode = EnumSource.Mode.EXCLUDE,
      names = {"BROKER_LOST", "STORE_UNWRITABLE", "DISK_FULL", "PART_STUCK", "ANALYSIS_LATE"})
  void whatCanWait_wakesNobody_andIsToldInTheMorning(TroubleKind kind) {
    for (int second = 0; second < 180; second++) {
      stand(kind);
      night.pass(Duration.ofSeconds(1));
    }
    stand();
    assertThat(night.told).isEmpty();

    night.pass(Duration.between(night.now, Instant.parse("2026-03-14T07:00:00Z")));
    assertThat(kinds()).containsExactly(Kind.MORNING);
    assertThat(night.told.get(0).call().troubles())
        .extracting(t -> t.key().kind())
        .containsExactly(kind);
  }

  @Test
  void certificateAndClock_waitForTheMorningByDayToo_theOthersAreToldByDay() {
    night = new Night(Night.plan(Night.THREE), NOON);
    stand(TroubleKind.CERTIFICATE_ENDS, TroubleKind.CLOCK_STEPPED, TroubleKind.DISK_NEARLY_FULL);
    night.pass(Duration.ofMinutes(10));

    assertThat(kinds()).containsExactly(Kind.NOTICE);
    assertThat(night.told.get(0).call().troubles())
        .extracting(t -> t.key().kind())
        .containsExactly(TroubleKind.DISK_NEARLY_FULL);
    night.pass(Duration.ofHours(19));
    assertThat(kinds()).containsExactly(Kind.NOTICE, Kind.MORNING);
    assertThat(night.told.get(1).call().troubles()).hasSize(2);
  }

  @Test
  void withoutFish_nobodyIsWoken_untilThereAreSome() {
    stand(false, TroubleKind.BROKER_LOST);
    night.pass(Duration.ofMinutes(10));
    assertThat(night.told).isEmpty();

    stand(true, TroubleKind.BROKER_LOST);
    assertThat(kinds()).containsExactly(Kind.MONITOR);
    stand(false, TroubleKind.BROKER_LOST);
    night.pass(Duration.ofMinutes(10));
    assertThat(calls()).isEqualTo(1);
  }

  @Test
  void fullDisk_isOneCall_howeverItShowsItself() {
    stand(TroubleKind.STORE_UNWRITABLE);
    stand(TroubleKind.STORE_UNWRITABLE, TroubleKind.DISK_FULL, TroubleKind.NEWS_HELD_UP);
    stand(TroubleKind.DISK_FULL);

    assertThat(night.told).hasSize(1);
    night.pass(Duration.ofSeconds(30));
    assertThat(night.told.get(1).call().troubles())
        .as("the next step says the most telling first")
        .first()
        .extracting(t -> t.key().kind())
        .isEqualTo(TroubleKind.DISK_FULL);
  }

  @Test
  void consequence_isNotToldWhileWhatIsBehindItStands() {
    night = new Night(Night.plan(Night.THREE), NOON);
    stand(TroubleKind.BROKER_LOST, TroubleKind.NEWS_HELD_UP, TroubleKind.HEARTBEAT_HELD);
    night.hear(new News.Had(key(), "Maren"));
    night.pass(Duration.ofMinutes(30));
    assertThat(kinds()).doesNotContain(Kind.NOTICE);

    stand(TroubleKind.NEWS_HELD_UP);
    night.pass(Duration.ofMinutes(10));
    assertThat(kinds()).containsOnlyOnce(Kind.NOTICE);
  }

  @Test
  void nearlyFullDisk_isTold_alsoWhileADeadChannelStands() {
    night = new Night(Night.plan(Night.THREE), NOON);
    stand(TroubleKind.CHANNEL_DEAD);
    night.pass(Duration.ofMinutes(10));
    assertThat(kinds()).containsOnlyOnce(Kind.NOTICE);

    stand(TroubleKind.CHANNEL_DEAD, TroubleKind.DISK_NEARLY_FULL);
    night.pass(Duration.ofMinutes(10));

    assertThat(night.told)
        .as("it is the last warning before the watch stops")
        .anySatisfy(
            told ->
                assertThat(told.call().troubles())
                    .anyMatch(t -> t.key().kind() == TroubleKind.DISK_NEARLY_FULL));
  }

  @Test
  void whoSaysIHaveIt_endsTheCalling_andThoseCalledAreTold() {
    stand(TroubleKind.BROKER_LOST);
    night.pass(Duration.ofMinutes(4));
    long before = calls();

    night.hear(new News.Had(key(), "Tomas"));
    night.hear(new News.Had(key(), "Ines"));
    night.pass(Duration.ofMinutes(59));

    assertThat(calls()).isEqualTo(before);
    assertThat(night.kindsTo("Maren")).containsOnlyOnce(Kind.TAKEN);
    assertThat(night.kindsTo("Tomas")).doesNotContain(Kind.TAKEN);
    assertThat(night.kindsTo("Ines")).containsOnlyOnce(Kind.TAKEN);
    night.pass(Duration.ofMinutes(1));
    assertThat(calls()).as("whoever has it may have fallen asleep").isEqualTo(before + 1);
  }

  @Test
  void ifNobodyHasIt_everybodyIsCalledAgain_everyQuarterOfAnHour() {
    stand(TroubleKind.ANALYSIS_LATE);
    night.pass(Duration.ofMinutes(18));
    long before = calls();

    night.pass(Duration.ofMinutes(30));

    int ways = Night.THREE.stream().mapToInt(p -> p.channels().size()).sum();
    assertThat(calls() - before).isEqualTo(2L * ways);
  }

  @Test
  void over_isToldToThoseCalled_onceItLasts() {
    stand(TroubleKind.BROKER_LOST);
    night.pass(Duration.ofSeconds(10));
    stand();
    night.pass(MonitorCause.SETTLES.minusSeconds(1));
    assertThat(kinds()).containsExactly(Kind.MONITOR);
    night.pass(Duration.ofSeconds(1));
    assertThat(kinds()).containsExactly(Kind.MONITOR, Kind.ENDED);
    assertThat(night.toldNames()).containsExactly("Maren");

    night.pass(Duration.ofHours(2));
    assertThat(night.state.monitor()).isEmpty();
    assertThat(night.told).hasSize(2);
  }

  @Test
  void flapping_doesNotFlood() {
    for (int hour = 0; hour < 4; hour++) {
      for (int times = 0; times < 20; times++) {
        stand(TroubleKind.BROKER_LOST);
        night.pass(Duration.ofSeconds(20));
        stand();
        night.pass(Duration.ofSeconds(160)); // longer than it takes to settle
      }
    }

    long toInes = night.kindsTo("Ines").stream().filter(k -> k == Kind.MONITOR).count();
    assertThat(toInes).as("in four hours of coming and going").isBetween(2L, 20L);
    assertThat(kinds().stream().filter(k -> k == Kind.ENDED).count()).isLessThan(12);
    Set<String> keys = new HashSet<>();
    assertThat(night.made).allMatch(c -> keys.add(c.key()));
  }

  @Test
  void killed_isNotToldAnew_norOverBeforeItIsSeenAgain() {
    stand(TroubleKind.BROKER_LOST);
    night.pass(Duration.ofSeconds(10));
    night.state = TEXT.read(TEXT.write(night.state));
    night.restart(Duration.ofMinutes(10));
    stand();
    night.pass(Duration.ofSeconds(45)); // it takes its delay to be seen again
    assertThat(kinds()).containsExactly(Kind.MONITOR);

    stand(TroubleKind.BROKER_LOST);
    night.pass(Duration.ofMinutes(5));

    assertThat(kinds()).doesNotContain(Kind.ENDED);
    assertThat(night.made.stream().map(Call::key)).doesNotHaveDuplicates();
    assertThat(night.state.monitor()).hasSize(1);
    assertThat(calls()).isGreaterThan(1);
  }

  @Test
  void restartThatMendedIt_isToldAsOver() {
    stand(TroubleKind.PART_STUCK);
    night.restart(Duration.ofSeconds(5));
    stand();
    night.pass(Duration.ofMinutes(3));

    assertThat(kinds()).containsExactly(Kind.MONITOR, Kind.ENDED);
  }

  /**
   * After a broker's power cut, or a start of the watch while the broker is away, a silent ingest
   * is found silent anew only after some minutes.
   */
  @Test
  void silentIngest_isNotOver_beforeItCouldBeFoundSilentAgain() {
    night = new Night(Night.plan(Night.THREE), NOON);
    stand(TroubleKind.INTAKE_TROUBLE);
    night.pass(Duration.ofMinutes(10));
    assertThat(kinds()).containsExactly(Kind.NOTICE);

    stand();
    night.pass(Duration.ofMinutes(10).minusSeconds(1));
    stand(TroubleKind.INTAKE_TROUBLE);
    night.pass(Duration.ofMinutes(9));
    assertThat(kinds()).as("the same, told once").containsExactly(Kind.NOTICE);

    stand();
    night.pass(Duration.ofMinutes(10));
    stand(TroubleKind.INTAKE_TROUBLE);
    night.pass(Duration.ofMinutes(10));
    assertThat(kinds().stream().filter(k -> k == Kind.NOTICE)).as("another").hasSize(2);
  }

  private long notices() {
    return kinds().stream().filter(k -> k == Kind.NOTICE).count();
  }

  /** Told at 12:02, started again, and dead for good a few minutes later. */
  @Test
  void ingestThatSeemedMended_isToldOnceMore_whenItStaysDead() {
    night = new Night(Night.plan(Night.THREE), NOON);
    stand(TroubleKind.INTAKE_TROUBLE);
    night.pass(Duration.ofMinutes(10));
    stand();
    night.pass(Duration.ofMinutes(5));
    stand(TroubleKind.INTAKE_TROUBLE);
    night.state = TEXT.read(TEXT.write(night.state));

    night.pass(MonitorCause.SETTLES_APART.minusSeconds(1));
    assertThat(notices()).isEqualTo(1);
    night.pass(Duration.ofSeconds(1));
    assertThat(notices()).isEqualTo(2);
    night.pass(Duration.ofHours(3));
    assertThat(notices()).as("it was told").isEqualTo(2);
  }

  @Test
  void ingestThatComesAndGoes_isToldLessOften_eachTime() {
    night = new Night(Night.plan(Night.THREE), NOON);
    for (int times = 0; times < 20; times++) { // four hours
      stand(TroubleKind.INTAKE_TROUBLE);
      night.pass(Duration.ofMinutes(11));
      stand();
      night.pass(Duration.ofMinutes(1));
    }
    assertThat(notices()).as("at once, and after ten minutes of standing").isEqualTo(2);

    stand(TroubleKind.INTAKE_TROUBLE);
    night.pass(Duration.ofMinutes(20));
    assertThat(notices()).as("after twice as long").isEqualTo(3);
  }

  @Test
  void whatWasGoneForAMoment_isNotToldAgain() {
    night = new Night(Night.plan(Night.THREE), NOON);
    stand(TroubleKind.DISK_NEARLY_FULL);
    night.pass(Duration.ofMinutes(10));
    stand();
    night.pass(Duration.ofMinutes(1));
    stand(TroubleKind.DISK_NEARLY_FULL);
    night.pass(Duration.ofHours(1));

    assertThat(notices()).isEqualTo(1);
  }

  @Test
  void deadChannel_isRoutedRound() {
    night.dead(Set.of(new Target("Maren", "push")), Night.FAILS);
    stand(TroubleKind.DISK_FULL);

    assertThat(night.told).singleElement().extracting(t -> t.call().channel()).isEqualTo("mail");
  }

  @Test
  void flood_leavesTheMonitorRoomInTheTogetherMessage() {
    for (int tank = 0; tank < 12; tank++) {
      night.hear(new News.Happened(night.high("h" + tank, 30)));
    }
    stand(TroubleKind.BROKER_LOST);
    night.pass(Duration.ofMinutes(9));

    assertThat(night.told.stream().filter(t -> t.call().person().equals("Ines")).count())
        .isLessThanOrEqualTo(10);
    assertThat(night.told)
        .filteredOn(t -> t.call().kind() == Kind.MORE)
        .anyMatch(t -> !t.call().troubles().isEmpty());
  }

  @Test
  void somebodyOffCall_hearsOfIt_afterSixMinutes_notAfterTheFirstLongWait() {
    List<Person> people =
        List.of(
            Night.THREE.get(0),
            new Person(
                "Ines",
                List.of("mail"),
                Optional.of(new Hours(LocalTime.of(8, 0), LocalTime.of(18, 0)))));
    night = Night.of(people);
    stand(TroubleKind.BROKER_LOST);

    night.pass(Duration.ofMinutes(6));

    assertThat(night.toldNames()).contains("Ines");
  }

  @Test
  void goneForAMoment_losesNoCallThatWaitsToBeTriedAgain() {
    Target mail = new Target("Ines", "mail");
    night = Night.of(List.of(Night.THREE.get(2)));
    night.dead(Set.of(mail), Night.FAILS);
    stand(TroubleKind.BROKER_LOST);
    int tried = night.tried.size();

    stand();
    night.pass(Duration.ofSeconds(60));
    assertThat(night.tried).as("nobody is called for what does not stand").hasSize(tried);

    night.dead(Set.of(), Night.FAILS);
    stand(TroubleKind.BROKER_LOST);
    assertThat(kinds()).containsExactly(Kind.MONITOR);
  }

  @Test
  void failsWhileItIsGone_isTriedAgainOnceItIsBack() {
    night = Night.of(List.of(Night.THREE.get(2)));
    night.dead(Set.of(new Target("Ines", "mail")), Night.HANGS);
    stand(TroubleKind.BROKER_LOST);
    Call call = night.tried.get(0).call();
    stand();

    night.hear(new News.Result(call.key(), Delivery.failed("connection reset")));
    night.dead(Set.of(), Night.FAILS);
    stand(TroubleKind.BROKER_LOST);
    night.pass(Duration.ofSeconds(10));

    assertThat(night.told).extracting(Night.Told::call).contains(call);
  }

  @Test
  void overForGood_dropsWhatWaitsToBeTriedAgain() {
    night = Night.of(List.of(Night.THREE.get(2)));
    night.dead(Set.of(new Target("Ines", "mail")), Night.FAILS);
    stand(TroubleKind.BROKER_LOST);
    stand();
    night.pass(MonitorCause.SETTLES);
    night.dead(Set.of(), Night.FAILS);
    night.pass(Duration.ofMinutes(10));

    assertThat(kinds()).doesNotContain(Kind.MONITOR);
  }

  @Test
  void notice_goesToTheNextPerson_whereEveryWayToTheFirstIsDead() {
    night = new Night(Night.plan(Night.THREE), NOON);
    night.dead(
        Set.of(
            new Target("Maren", "push"), new Target("Maren", "mail"), new Target("Tomas", "mail")),
        Night.FAILS);
    stand(TroubleKind.DISK_NEARLY_FULL);
    night.pass(Duration.ofMinutes(3));

    assertThat(night.told)
        .extracting(t -> t.call().person() + " " + t.call().channel() + " " + t.call().kind())
        .containsExactly("Tomas webhook NOTICE");
  }

  /** After a start what stands is looked for anew; until then it is not over. */
  @Test
  void notice_thatNoWayHadTaken_isStillToldAfterARestart() {
    night = new Night(Night.plan(Night.THREE), NOON);
    night.channels = target -> Night.FAILS;
    stand(TroubleKind.DISK_NEARLY_FULL);
    night.pass(Duration.ofMinutes(3));
    assertThat(night.told).isEmpty();

    night.channels = target -> Night.WORKS;
    night.restart(Duration.ofSeconds(5));
    stand();
    night.pass(Duration.ofSeconds(20));
    stand(TroubleKind.DISK_NEARLY_FULL);
    night.pass(Duration.ofMinutes(10));

    assertThat(kinds()).containsExactly(Kind.NOTICE);
  }

  @Test
  void morning_goesToTheNextPerson_andSaysWhatIsOver() {
    night.dead(Set.of(new Target("Maren", "push"), new Target("Maren", "mail")), Night.FAILS);
    stand(TroubleKind.DISK_NEARLY_FULL, TroubleKind.CERTIFICATE_ENDS);
    night.pass(Duration.ofMinutes(3));
    stand(TroubleKind.CERTIFICATE_ENDS);
    night.pass(Duration.between(night.now, Instant.parse("2026-03-14T07:00:05Z")));

    assertThat(night.toldNames()).containsExactly("Tomas");
    Call call = night.told.get(0).call();
    assertThat(call.troubles())
        .extracting(t -> t.key().kind(), call::isOver)
        .containsExactly(
            Tuple.tuple(TroubleKind.CERTIFICATE_ENDS, false),
            Tuple.tuple(TroubleKind.DISK_NEARLY_FULL, true));
  }

  @Test
  void stateOfAnEarlierVersion_isStillRead() {
    String text = TEXT.write(night.state);
    assertThat(text).contains("\"monitor\":{},", "\"waitingTroubles\":[],");

    String earlier = text.replace("\"monitor\":{},", "").replace("\"waitingTroubles\":[],", "");

    assertThat(TEXT.read(earlier)).isEqualTo(night.state);
  }
}
