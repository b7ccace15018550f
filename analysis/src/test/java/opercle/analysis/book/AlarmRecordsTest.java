// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static opercle.analysis.book.Alarms.FARM;
import static opercle.analysis.book.Alarms.T0;
import static opercle.analysis.book.Alarms.event;
import static opercle.analysis.book.Alarms.raised;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.IntStream;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmEvent.Kind;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.AlarmVerdict;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class AlarmRecordsTest {

  @TempDir Path folder;
  private BookPlace place;
  private FarmBook book;
  private AlarmRecords records;

  BookKind kind() {
    return BookKind.SQLITE;
  }

  @BeforeEach
  void open() {
    place = kind().place(folder);
    book = FarmBook.open(place);
    records = new AlarmRecords(book, FARM);
  }

  @AfterEach
  void close() {
    book.close();
  }

  private void told(List<AlarmEvent> events) {
    try (AlarmHistory history = new AlarmHistory(book, FARM)) {
      history.events(events);
    }
  }

  private static Instant at(long second) {
    return T0.plusSeconds(second);
  }

  @Test
  void between_takesTheStart_notTheEnd_oldestFirst() {
    told(List.of(raised("h1", 2), raised("h2", 1), raised("h3", 3)));
    assertThat(records.between(at(1), at(3))).containsExactly(raised("h2", 1), raised("h1", 2));
  }

  @Test
  void page_walksTheWholeSpanNewestFirst_alsoThroughEventsOfOneInstant() {
    List<AlarmEvent> events = new ArrayList<>();
    for (int second = 0; second < 5; second++) {
      for (String tank : List.of("h1", "h2", "h3")) {
        events.add(raised(tank, second));
      }
    }
    told(events);
    List<AlarmEvent> walked = new ArrayList<>();
    Optional<AlarmRecords.Place> place = Optional.empty();
    while (true) {
      List<RecordedEvent> page = records.page(at(0), at(9), Optional.empty(), place, 4);
      if (page.isEmpty()) {
        break;
      }
      page.forEach(recorded -> walked.add(recorded.event()));
      place = Optional.of(AlarmRecords.Place.before(page.get(page.size() - 1)));
    }
    Collections.reverse(walked);
    assertThat(walked).isEqualTo(events);
  }

  @Test
  void page_ofOneTank_hasNoOther() {
    told(List.of(raised("h1", 1), raised("h2", 2), raised("h1", 3)));
    assertThat(records.page(at(0), at(9), Optional.of("h1"), Optional.empty(), 10))
        .extracting(RecordedEvent::event)
        .containsExactly(raised("h1", 3), raised("h1", 1));
  }

  @Test
  void standing_hasTheNewestEventOfWhatIsNotOver() {
    AlarmEvent cleared = event("h1", Kind.CLEARED, AlarmState.RETURNED_UNACKNOWLEDGED, 5, 1);
    told(
        List.of(
            raised("h1", 1),
            raised("h2", 2),
            event("h2", Kind.ACKNOWLEDGED, AlarmState.ACKNOWLEDGED, 3, 2),
            event("h2", Kind.CLEARED, AlarmState.NORMAL, 4, 2),
            cleared));
    assertThat(records.standing()).containsExactly(cleared);
  }

  @Test
  void touching_hasTheWholeStoryOfWhatWasAliveInTheSpan() {
    AlarmEvent before = raised("h1", 1);
    AlarmEvent over = event("h1", Kind.CLEARED, AlarmState.NORMAL, 2, 1);
    AlarmEvent longOne = raised("h2", 3);
    AlarmEvent inside = raised("h1", 15);
    AlarmEvent insideAck = event("h1", Kind.ACKNOWLEDGED, AlarmState.ACKNOWLEDGED, 18, 15);
    AlarmEvent after = event("h1", Kind.CLEARED, AlarmState.NORMAL, 25, 15);
    told(List.of(before, over, longOne, inside, insideAck, after, raised("h3", 30)));
    assertThat(records.touching(at(10), at(20))).containsExactly(longOne, inside, insideAck);
    assertThat(records.touching(at(10), at(26))).containsExactly(longOne, inside, insideAck, after);
  }

  @Test
  void touching_agreesWithAPlainWalk_overManyStories() {
    List<AlarmEvent> events = new ArrayList<>();
    // Tank i is raised at 10 i and over 25 s later, or never.
    for (int i = 0; i < 12; i++) {
      events.add(raised("h" + i, 10L * i));
      if (i % 3 != 0) {
        events.add(event("h" + i, Kind.CLEARED, AlarmState.NORMAL, 10L * i + 25, 10L * i));
      }
    }
    events.sort((a, b) -> a.time().compareTo(b.time()));
    told(events);
    for (int from = 0; from < 140; from += 7) {
      int to = from + 20;
      Set<String> expected = new TreeSet<>();
      for (int i = 0; i < 12; i++) {
        boolean over = i % 3 != 0 && 10 * i + 25 < from;
        if (10 * i < to && !over) {
          expected.add("h" + i);
        }
      }
      assertThat(records.touching(at(from), at(to)))
          .as("from %d", from)
          .extracting(AlarmEvent::tank)
          .allMatch(expected::contains);
      assertThat(
              new TreeSet<>(
                  records.touching(at(from), at(to)).stream().map(AlarmEvent::tank).toList()))
          .isEqualTo(expected);
    }
  }

  @Test
  void judge_anOccurrenceOfTheBook_isKept_byItsStartToTheMillisecond() {
    told(List.of(raised("h1", 1), event("h1", Kind.CLEARED, AlarmState.NORMAL, 9, 1)));
    AlarmId alarm = new AlarmId("h1", AlarmCause.OXYGEN_LOW);
    Instant asInJson = Instant.ofEpochMilli(at(1).toEpochMilli());
    assertThat(records.judge(new AlarmVerdict(alarm, asInJson, false, "Ines", at(20)))).isTrue();
    assertThat(records.judge(new AlarmVerdict(alarm, asInJson, true, "Ines", at(30)))).isTrue();
    assertThat(records.verdicts(at(0), at(5)))
        .containsExactly(
            new AlarmVerdict(alarm, at(1), false, "Ines", at(20)),
            new AlarmVerdict(alarm, at(1), true, "Ines", at(30)));
    assertThat(records.verdicts(at(2), at(50))).isEmpty();
  }

  @Test
  void judge_whatTheBookDoesNotKnow_keepsNothing() {
    told(List.of(raised("h1", 1)));
    for (AlarmId alarm :
        List.of(
            new AlarmId("h2", AlarmCause.OXYGEN_LOW), new AlarmId("h1", AlarmCause.WATER_WARM))) {
      assertThat(records.judge(new AlarmVerdict(alarm, at(1), false, "Ines", at(2)))).isFalse();
    }
    AlarmId known = new AlarmId("h1", AlarmCause.OXYGEN_LOW);
    assertThat(records.judge(new AlarmVerdict(known, at(2), false, "Ines", at(2)))).isFalse();
    assertThat(records.verdicts(at(0), at(9))).isEmpty();
    assertThatThrownBy(() -> new AlarmVerdict(known, at(1), false, " ", at(2)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContainingAll("h1", "oxygen-low", "name");
  }

  @Test
  void readingOnly_whileTheHistoryIsWritten_seesIt() {
    told(IntStream.range(0, 3).mapToObj(i -> raised("h1", i)).toList());
    try (FarmBook reader = FarmBook.openReadOnly(place)) {
      assertThat(new AlarmRecords(reader, FARM).between(at(0), at(9))).hasSize(3);
    }
  }
}
