// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent.Kind;
import opercle.analysis.alarm.AlarmGap;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.figures.Row.Verdict;
import org.junit.jupiter.api.Test;

/** Figures against weeks small enough to be worked out by hand. */
class AlarmFiguresTest {

  private static final ZoneId WARSAW = ZoneId.of("Europe/Warsaw");

  /** Its clock goes forward on Sunday: 167 hours. */
  private static final Week SPRING = Week.of("2026-W13", WARSAW);

  private static final AlarmCause GAS = AlarmCause.GAS_LINE_STOPPED;
  private static final AlarmCause LOW = AlarmCause.OXYGEN_LOW;
  private static final AlarmCause WARM = AlarmCause.WATER_WARM;

  private static AlarmFigures figures(Week week, Story story) {
    return AlarmFigures.of(week, week.end(), story.occurrences(), List.of(), Optional.empty());
  }

  private static Row row(AlarmFigures figures, String id) {
    return FigureTable.of(figures).stream()
        .filter(r -> r.id().equals(id))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void quietWeek_isGood_whereverItCanBe() {
    AlarmFigures figures = figures(SPRING, new Story());

    assertThat(figures.calls()).isZero();
    assertThat(figures.perDay()).isZero();
    assertThat(figures.nights()).isEqualTo(7);
    assertThat(FigureTable.of(figures))
        .extracting(Row::verdict)
        .containsOnly(Verdict.GOOD, Verdict.NOT_JUDGED);
    assertThat(FigureTable.of(figures)).extracting(Row::id).doesNotHaveDuplicates();
  }

  @Test
  void rates_areOfTheHoursThatTheWeekHad_andOnlyCallsCount() {
    // Three calls: raised, more urgent, raised. Acknowledged, changed and cleared are none.
    Story story =
        new Story()
            .raised("2026-03-24T10:00:00Z", "h1", LOW, Priority.MEDIUM)
            .event(
                "2026-03-24T10:04:00Z",
                "h1",
                LOW,
                Kind.ESCALATED,
                Priority.HIGH,
                AlarmState.UNACKNOWLEDGED,
                "2026-03-24T10:00:00Z")
            .event(
                "2026-03-24T10:05:00Z",
                "h1",
                LOW,
                Kind.CHANGED,
                Priority.HIGH,
                AlarmState.UNACKNOWLEDGED,
                "2026-03-24T10:00:00Z")
            .acknowledged("2026-03-24T10:06:00Z", "h1", LOW, Priority.HIGH, "2026-03-24T10:00:00Z")
            .over("2026-03-24T10:30:00Z", "h1", LOW, Priority.HIGH, "2026-03-24T10:00:00Z")
            .raised("2026-03-24T10:09:59Z", "h2", WARM, Priority.MEDIUM)
            // Suppressed from the start: it calls nobody.
            .event(
                "2026-03-24T10:09:59Z",
                "h3",
                LOW,
                Kind.RAISED,
                Priority.HIGH,
                AlarmState.SUPPRESSED,
                "2026-03-24T10:09:59Z")
            // The week before and the week after.
            .raised("2026-03-22T22:59:59Z", "h4", LOW, Priority.HIGH)
            .raised("2026-03-29T22:00:00Z", "h5", LOW, Priority.HIGH);
    AlarmFigures figures = figures(SPRING, story);

    assertThat(figures.calls()).isEqualTo(3);
    assertThat(figures.perDay()).isCloseTo(3 * 24 / 167.0, within(1e-12));
    assertThat(figures.perHour()).isCloseTo(3 / 167.0, within(1e-12));
    assertThat(figures.perTenMinutes()).isCloseTo(3 / 1002.0, within(1e-12));
    assertThat(figures.byPriority())
        .isEqualTo(Map.of(Priority.HIGH, 1, Priority.MEDIUM, 2, Priority.LOW, 0));
    assertThat(figures.mostInTenMinutes()).isEqualTo(3); // 10:00:00 to 10:09:59
    assertThat(figures.mostFrequent())
        .extracting(AlarmFigures.Frequent::alarm, AlarmFigures.Frequent::calls)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple(new AlarmId("h1", LOW), 2),
            org.assertj.core.groups.Tuple.tuple(new AlarmId("h2", WARM), 1));
    assertThat(figures.mostFrequent().get(0).share()).isCloseTo(2 / 3.0, within(1e-12));
    assertThat(row(figures, "most-frequent").verdict()).isEqualTo(Verdict.NOT_JUDGED);
  }

  @Test
  void weekThatIsNotOver_isMeasuredByItsHoursSoFar() {
    Story story = new Story().raised("2026-03-23T10:00:00Z", "h1", LOW, Priority.HIGH);
    Instant now = SPRING.start().plus(Duration.ofHours(12));
    AlarmFigures figures =
        AlarmFigures.of(SPRING, now, story.occurrences(), List.of(), Optional.empty());

    assertThat(figures.until()).isEqualTo(now);
    assertThat(figures.perDay()).isCloseTo(2.0, within(1e-12));
    assertThat(figures.nights()).isZero();
  }

  /**
   * Calls at 0, 1, … 11 min: 12. In flood from the eleventh, 10 min, until fewer than 5 are left.
   */
  private static Story burst(int calls, String start) {
    Story story = new Story();
    for (int i = 0; i < calls; i++) {
      story.raised(
          Instant.parse(start).plusSeconds(60L * i).toString(), "h" + i, LOW, Priority.HIGH);
    }
    return story;
  }

  @Test
  void flood_beginsWithTheEleventhCallInTenMinutes_andEndsWithFewerThanFive() {
    // One a minute: at any time at most ten lie within ten minutes. No flood.
    assertThat(figures(SPRING, burst(12, "2026-03-24T10:00:00Z")).floods()).isEmpty();

    // Two a minute: 0:00, 0:00, 1:00, 1:00, … The eleventh comes at 5:00.
    List<Instant> times = new ArrayList<>();
    Instant start = Instant.parse("2026-03-24T10:00:00Z");
    for (int i = 0; i < 16; i++) {
      times.add(start.plusSeconds(60L * (i / 2)));
    }
    List<Flood> floods = Flood.in(times, SPRING.end());

    // The last pairs come at 5:00, 6:00 and 7:00. Six are left until 15:00, four from then on.
    assertThat(floods)
        .containsExactly(
            new Flood(start.plusSeconds(300), Optional.of(start.plusSeconds(15 * 60))));
    assertThat(floods.get(0).lasting(SPRING.end())).isEqualTo(Duration.ofMinutes(10));
  }

  @Test
  void flood_thatHasNotEnded_lastsUntilNow() {
    Instant start = Instant.parse("2026-03-24T10:00:00Z");
    List<Instant> eleven = new ArrayList<>();
    for (int i = 0; i < 11; i++) {
      eleven.add(start.plusSeconds(i));
    }
    Instant now = start.plusSeconds(300);
    List<Flood> floods = Flood.in(eleven, now);

    assertThat(floods).containsExactly(new Flood(start.plusSeconds(10), Optional.empty()));
    assertThat(floods.get(0).lasting(now)).isEqualTo(Duration.ofSeconds(290));
  }

  @Test
  void shareOfTimeInFlood_andOfBusyPeriods_areOfTheWholeWeek() {
    Story story = new Story();
    for (int i = 0; i < 16; i++) {
      story.raised(
          Instant.parse("2026-03-24T10:00:00Z").plusSeconds(60L * (i / 2)).toString(),
          "h" + i,
          LOW,
          Priority.HIGH);
    }
    AlarmFigures figures = figures(SPRING, story);

    // All 16 lie in the period from 10:00 to 10:10: one of 1002; in flood for 10 min of 167 h.
    assertThat(figures.mostInTenMinutes()).isEqualTo(16);
    assertThat(figures.busyShare()).isCloseTo(1 / 1002.0, within(1e-12));
    assertThat(figures.floodShare()).isCloseTo(10 / (167.0 * 60.0), within(1e-12));
    assertThat(row(figures, "most-in-ten-minutes").verdict()).isEqualTo(Verdict.BAD);
    assertThat(row(figures, "in-flood").value()).isEqualTo("0.1 %");
    assertThat(row(figures, "in-flood").verdict()).isEqualTo(Verdict.GOOD);
  }

  @Test
  void mostInTenMinutes_leavesOutWhatComesTenMinutesLater() {
    Instant start = Instant.parse("2026-03-24T10:00:00Z");
    assertThat(
            AlarmFigures.mostWithin(
                List.of(start, start.plusSeconds(599), start.plusSeconds(600)), Flood.WINDOW))
        .isEqualTo(2);
  }

  @Test
  void alarmRaisedThreeTimesInAMinute_chatters_andTwiceDoesNot() {
    Story story = new Story();
    for (String time :
        new String[] {"2026-03-24T10:00:00Z", "2026-03-24T10:00:30Z", "2026-03-24T10:01:00Z"}) {
      story.raised(time, "h1", LOW, Priority.MEDIUM);
    }
    for (String time :
        new String[] {"2026-03-24T10:00:00Z", "2026-03-24T10:00:30Z", "2026-03-24T10:01:01Z"}) {
      story.raised(time, "h2", LOW, Priority.MEDIUM);
    }
    AlarmFigures figures = figures(SPRING, story);

    assertThat(figures.chattering()).containsExactly(new AlarmId("h1", LOW));
    assertThat(row(figures, "chattering").verdict()).isEqualTo(Verdict.BAD);
  }

  @Test
  void alarmOfMoreThanADay_stands_onTheDaysAfterItsFirst() {
    Story story =
        new Story()
            // Tuesday 10:00 to Thursday 10:00, local time one hour later.
            .raised("2026-03-24T09:00:00Z", "h1", WARM, Priority.MEDIUM)
            .over("2026-03-26T09:00:00Z", "h1", WARM, Priority.MEDIUM, "2026-03-24T09:00:00Z")
            // Exactly a day: not more than one.
            .raised("2026-03-24T09:00:00Z", "h2", WARM, Priority.MEDIUM)
            .over("2026-03-25T09:00:00Z", "h2", WARM, Priority.MEDIUM, "2026-03-24T09:00:00Z")
            // Since last week, and still.
            .raised("2026-03-20T09:00:00Z", "h3", WARM, Priority.MEDIUM)
            // Over before this week.
            .raised("2026-03-10T09:00:00Z", "h4", WARM, Priority.MEDIUM)
            .over("2026-03-20T09:00:00Z", "h4", WARM, Priority.MEDIUM, "2026-03-10T09:00:00Z");
    AlarmFigures figures = figures(SPRING, story);

    assertThat(figures.standing())
        .extracting(Occurrence::alarm)
        .containsExactlyInAnyOrder(new AlarmId("h1", WARM), new AlarmId("h3", WARM));
    assertThat(figures.mostStanding()).isEqualTo(2);
  }

  @Test
  void alarmThatNobodyAcknowledged_endsWhenItIsRaisedAnew() {
    Story story =
        new Story()
            .raised("2026-03-24T09:00:00Z", "h1", WARM, Priority.MEDIUM)
            .event(
                "2026-03-24T09:30:00Z",
                "h1",
                WARM,
                Kind.CLEARED,
                Priority.MEDIUM,
                AlarmState.RETURNED_UNACKNOWLEDGED,
                "2026-03-24T09:00:00Z")
            .raised("2026-03-24T20:00:00Z", "h1", WARM, Priority.MEDIUM)
            .over("2026-03-24T21:00:00Z", "h1", WARM, Priority.MEDIUM, "2026-03-24T20:00:00Z");

    assertThat(story.occurrences())
        .extracting(Occurrence::end)
        .containsExactly(
            Optional.of(Instant.parse("2026-03-24T20:00:00Z")),
            Optional.of(Instant.parse("2026-03-24T21:00:00Z")));
    assertThat(figures(SPRING, story).standing()).isEmpty();
  }

  @Test
  void wakings_areHighCallsOfTheNight_andWhoIsUpIsNotWokenAgain() {
    Story story =
        new Story()
            // 02:00 local, then again within half an hour of the call before: one waking, true.
            .raised("2026-03-24T01:00:00Z", "h1", GAS, Priority.HIGH)
            .raised("2026-03-24T01:30:00Z", "h2", LOW, Priority.HIGH)
            .said("h1", GAS, "2026-03-24T01:00:00Z", true)
            .said("h2", LOW, "2026-03-24T01:30:00Z", false)
            // Half an hour and a second later: another one, false; said otherwise at first.
            .raised("2026-03-24T02:00:01Z", "h3", LOW, Priority.HIGH)
            .said("h3", LOW, "2026-03-24T02:00:01Z", true)
            .said("h3", LOW, "2026-03-24T02:00:01Z", false)
            // Nobody said of this one.
            .raised("2026-03-25T01:00:00Z", "h3", LOW, Priority.HIGH)
            // Not high, and not at night.
            .raised("2026-03-26T01:00:00Z", "h1", WARM, Priority.MEDIUM)
            .raised("2026-03-26T12:00:00Z", "h1", GAS, Priority.HIGH);
    AlarmFigures figures = figures(SPRING, story);

    assertThat(figures.wakings())
        .extracting(Waking::time, Waking::was)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple(
                Instant.parse("2026-03-24T01:00:00Z"), Waking.Was.TRUE),
            org.assertj.core.groups.Tuple.tuple(
                Instant.parse("2026-03-24T02:00:01Z"), Waking.Was.FALSE),
            org.assertj.core.groups.Tuple.tuple(
                Instant.parse("2026-03-25T01:00:00Z"), Waking.Was.NOT_SAID));
    assertThat(row(figures, "wakings").value())
        .isEqualTo("3 (for something 1, for nothing 1, nobody said 1)");
    assertThat(row(figures, "false-wakings").verdict()).isEqualTo(Verdict.WORSE);
    assertThat(row(figures, "true-share").value()).isEqualTo("50 %");
    assertThat(row(figures, "true-share").verdict()).isEqualTo(Verdict.NOT_JUDGED);
  }

  @Test
  void timeToAcknowledge_isByNearestRank_andNobodyIsLaterThanAnybody() {
    Story story = new Story();
    // Nine acknowledged after 1, 2, … 9 min, one never: half within 5 min, nine of ten within 9.
    for (int i = 1; i <= 10; i++) {
      Instant raised = Instant.parse("2026-03-24T10:00:00Z").plusSeconds(3600L * i);
      story.raised(raised.toString(), "h" + i, GAS, Priority.HIGH);
      if (i <= 9) {
        story.acknowledged(
            raised.plusSeconds(60L * i).toString(), "h" + i, GAS, Priority.HIGH, raised.toString());
      }
    }
    // Not high: not counted.
    story.raised("2026-03-24T10:00:00Z", "h1", WARM, Priority.MEDIUM);
    AlarmFigures figures = figures(SPRING, story);

    assertThat(figures.acknowledged())
        .isEqualTo(
            new AlarmFigures.Acknowledged(
                10, 1, Optional.of(Duration.ofMinutes(5)), Optional.of(Duration.ofMinutes(9))));
    assertThat(row(figures, "acknowledged-median").value()).isEqualTo("5 min");
    assertThat(row(figures, "never-acknowledged").value()).isEqualTo("1 of 10");

    story.raised("2026-03-25T10:00:00Z", "h11", GAS, Priority.HIGH);
    assertThat(figures(SPRING, story).acknowledged().ninety()).isEmpty();
    assertThat(row(figures(SPRING, story), "acknowledged-ninety").value())
        .isEqualTo("nobody, for too many");
  }

  @Test
  void secondCallOfAnOccurrence_doesNotRestartTheTimeToAcknowledge() {
    Story story =
        new Story()
            .raised("2026-03-24T10:00:00Z", "h1", LOW, Priority.HIGH)
            .event(
                "2026-03-24T10:05:00Z",
                "h1",
                LOW,
                Kind.ESCALATED,
                Priority.HIGH,
                AlarmState.UNACKNOWLEDGED,
                "2026-03-24T10:00:00Z")
            .acknowledged("2026-03-24T10:07:00Z", "h1", LOW, Priority.HIGH, "2026-03-24T10:00:00Z");

    assertThat(figures(SPRING, story).acknowledged().median()).hasValue(Duration.ofMinutes(7));
  }

  @Test
  void whatIsMissing_andWhatDidNotGetThrough_areTold() {
    Instant monday = SPRING.start();
    AlarmFigures figures =
        AlarmFigures.of(
            SPRING,
            SPRING.end(),
            List.of(),
            List.of(new AlarmGap(monday, monday, 4), new AlarmGap(monday, monday, 3)),
            Optional.of(new Deliveries(20, 2, List.of())));

    assertThat(row(figures, "missing").value()).isEqualTo("7");
    assertThat(row(figures, "missing").verdict()).isEqualTo(Verdict.BAD);
    assertThat(row(figures, "deliveries").value()).isEqualTo("2 of 20");
    assertThat(row(figures(SPRING, new Story()), "deliveries").value()).isEqualTo("not kept");
  }

  @Test
  void wokenForTheMonitor_isCountedByNight_andOnceInHalfAnHour() {
    Instant two = SPRING.start().plus(Duration.ofHours(26)); // two in the morning there
    List<Instant> calls =
        List.of(
            two,
            two.plus(Duration.ofMinutes(3)),
            two.plus(Duration.ofMinutes(33)), // half an hour after the one before
            two.plus(Duration.ofMinutes(64)),
            two.plus(Duration.ofHours(10)));
    AlarmFigures figures =
        AlarmFigures.of(
            SPRING, SPRING.end(), List.of(), List.of(), Optional.of(new Deliveries(9, 0, calls)));

    assertThat(row(figures, "monitor-wakings").value()).isEqualTo("2");
  }

  @Test
  void busyWeek_isBeyondTheStandardsLimits() {
    // 3000 calls in 168 hours: 17.9 an hour, 429 a day, 3.0 in ten minutes.
    Week week = Week.of("2026-W14", WARSAW);
    Story story = new Story();
    for (int i = 0; i < 3000; i++) {
      story.raised(week.start().plusSeconds(200L * i).toString(), "h" + i % 3, LOW, Priority.LOW);
    }
    AlarmFigures figures = figures(week, story);

    assertThat(row(figures, "per-hour").value()).isEqualTo("18 in an hour");
    assertThat(row(figures, "per-day").value()).isEqualTo("429 in a day");
    for (String id : List.of("per-ten-minutes", "per-hour", "per-day", "most-frequent")) {
      assertThat(row(figures, id).verdict()).as(id).isEqualTo(Verdict.BAD);
    }
    assertThat(row(figures, "most-in-ten-minutes").verdict()).isEqualTo(Verdict.GOOD);
  }
}
