// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static opercle.analysis.book.Alarms.FARM;
import static opercle.analysis.book.Alarms.T0;
import static opercle.analysis.book.Alarms.raised;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmGap;
import opercle.analysis.alarm.AlarmState;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class AlarmHistoryTest {

  private static final Duration SOON = Duration.ofMillis(5);
  private static final Duration LONG = Duration.ofSeconds(10);

  @TempDir Path folder;
  private BookPlace place;

  BookKind kind() {
    return BookKind.SQLITE;
  }

  @BeforeEach
  void choosePlace() {
    place = kind().place(folder);
  }

  private static List<AlarmEvent> everything(FarmBook book) {
    return new AlarmRecords(book, FARM).between(T0.minusSeconds(3600), T0.plusSeconds(100_000));
  }

  @Test
  void events_areInTheBookAsTheyWereTold_oncePerEvent_overRestarts() {
    List<AlarmEvent> told =
        List.of(
            Alarms.full(),
            raised("h1", 1),
            Alarms.event("h1", AlarmEvent.Kind.ACKNOWLEDGED, AlarmState.ACKNOWLEDGED, 2, 1));
    try (FarmBook book = FarmBook.open(place);
        AlarmHistory history = new AlarmHistory(book, FARM)) {
      history.events(told.subList(0, 2));
      history.events(told.subList(1, 3));
      await().untilAsserted(() -> assertThat(everything(book)).isEqualTo(told));
      assertThat(history.pending()).isEmpty();
      assertThat(history.trouble()).isEmpty();
    }
    try (FarmBook book = FarmBook.open(place)) {
      try (AlarmHistory again = new AlarmHistory(book, FARM)) {
        again.events(told);
        again.events(List.of(raised("h2", 3)));
      }
      // Closing has waited for the disk.
      assertThat(everything(book)).hasSize(4).startsWith(told.toArray(AlarmEvent[]::new));
    }
  }

  @Test
  void otherFarm_inTheSameBook_staysApart() {
    try (FarmBook book = FarmBook.open(place)) {
      try (AlarmHistory ours = new AlarmHistory(book, FARM);
          AlarmHistory theirs = new AlarmHistory(book, "Elsewhere")) {
        ours.events(List.of(raised("h1", 1)));
        theirs.events(List.of(raised("h1", 1), raised("h1", 2)));
      }
      assertThat(everything(book)).containsExactly(raised("h1", 1));
    }
  }

  @Test
  void bookThatCannotBeWritten_isTold_andNothingIsLostOnceItCan() {
    List<AlarmEvent> kept = new ArrayList<>();
    boolean[] works = {false};
    try (AlarmHistory history =
        new AlarmHistory(
            (events, missing) -> {
              synchronized (kept) {
                if (!works[0]) {
                  throw new BookException("the farm book book.db could not take it: disk full");
                }
                kept.addAll(events);
              }
            },
            100,
            SOON,
            LONG)) {
      history.events(List.of(raised("h1", 1), raised("h2", 2)));
      await()
          .untilAsserted(
              () ->
                  assertThat(history.trouble().orElse(""))
                      .contains("not being written", "disk full", "2 events wait"));
      history.events(List.of(raised("h3", 3)));
      assertThat(history.pending()).hasSize(3);
      synchronized (kept) {
        works[0] = true;
      }
      await().untilAsserted(() -> assertThat(history.trouble()).isEmpty());
      await().until(() -> history.pending().isEmpty());
    }
    assertThat(kept).containsExactly(raised("h1", 1), raised("h2", 2), raised("h3", 3));
  }

  @Test
  void moreThanCanWait_isWrittenDownAsMissing() {
    List<AlarmEvent> kept = new ArrayList<>();
    List<AlarmGap> gaps = new ArrayList<>();
    boolean[] works = {false};
    try (AlarmHistory history =
        new AlarmHistory(
            (events, missing) -> {
              synchronized (kept) {
                if (!works[0]) {
                  throw new BookException("disk full");
                }
                kept.addAll(events);
                missing.ifPresent(gaps::add);
              }
            },
            2,
            SOON,
            LONG)) {
      for (int second = 1; second <= 5; second++) {
        history.events(List.of(raised("h1", second)));
      }
      await().untilAsserted(() -> assertThat(history.trouble().orElse("")).contains("3 are lost"));
      synchronized (kept) {
        works[0] = true;
      }
    }
    assertThat(kept).containsExactly(raised("h1", 1), raised("h1", 2));
    assertThat(gaps.stream().mapToInt(AlarmGap::events).sum()).isEqualTo(3);
    assertThat(gaps.get(0).first()).isEqualTo(T0.plusSeconds(3));
    assertThat(gaps.get(gaps.size() - 1).last()).isEqualTo(T0.plusSeconds(5));
  }

  @Test
  void gap_isReadBackFromTheBook() {
    try (FarmBook book = FarmBook.open(place)) {
      AlarmGap gap = new AlarmGap(T0, T0.plusSeconds(9), 4);
      var unused =
          book.write(
              "add a gap",
              c -> {
                AlarmTable.add(c, FARM, gap);
                AlarmTable.add(c, FARM, gap); // told again, as when the answer was lost
                return 0;
              });
      AlarmRecords records = new AlarmRecords(book, FARM);
      assertThat(records.gaps(T0.plusSeconds(9), T0.plusSeconds(10))).containsExactly(gap);
      assertThat(records.gaps(T0.plusSeconds(10), T0.plusSeconds(20))).isEmpty();
      assertThat(new AlarmRecords(book, "Elsewhere").gaps(T0, T0.plusSeconds(10))).isEmpty();
    }
  }

  @Test
  void close_whileTheBookTakesNothing_endsInTime() {
    AlarmHistory history =
        new AlarmHistory(
            (events, missing) -> {
              throw new BookException("disk full");
            },
            100,
            SOON,
            Duration.ofMillis(50));
    history.events(List.of(raised("h1", 1)));
    history.close();
    assertThat(history.pending()).hasSize(1);
  }

  @Test
  void manyEvents_areAllWritten_inOrder() {
    try (FarmBook book = FarmBook.open(place)) {
      try (AlarmHistory history = new AlarmHistory(book, FARM)) {
        history.events(IntStream.range(0, 1700).mapToObj(i -> raised("h1", i)).toList());
      }
      assertThat(everything(book)).hasSize(1700);
      AlarmRecords records = new AlarmRecords(book, FARM);
      List<RecordedEvent> page =
          records.page(T0, T0.plusSeconds(9999), Optional.empty(), Optional.empty(), 1700);
      assertThat(page)
          .extracting(recorded -> -recorded.number())
          .isSorted()
          .doesNotHaveDuplicates();
    }
  }

  @Test
  void history_intoABookForReadingOnly_isRefused() {
    FarmBook.open(place).close();
    try (FarmBook book = FarmBook.openReadOnly(place)) {
      assertThatThrownBy(() -> new AlarmHistory(book, FARM))
          .isInstanceOf(IllegalArgumentException.class);
    }
  }
}
