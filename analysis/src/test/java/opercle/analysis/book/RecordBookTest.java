// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.Instant;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.book.RecordBook.Outcome;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.records.Movement;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.Recorded.Correction;
import opercle.analysis.records.Water;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class RecordBookTest {

  private static final Instant AT = Instant.parse("2026-11-20T08:00:00.123456789Z");

  @TempDir Path folder;
  private BookPlace place;
  private FarmBook book;
  private RecordBook records;

  BookKind kind() {
    return BookKind.SQLITE;
  }

  @BeforeEach
  void open() {
    place = kind().place(folder);
    book = FarmBook.open(place);
    records = new RecordBook(book, "Sallowmere");
  }

  @AfterEach
  void close() {
    book.close();
  }

  private static Entry stew(String name) {
    return EntryFields.read(Entry.Kind.WATER, Map.of("name", name, "type", "pond"));
  }

  private static Entry tench(String to, int count) {
    return EntryFields.read(
        Entry.Kind.MOVEMENT,
        Map.of(
            "species", "Tench",
            "count", count,
            "to", to,
            "departs", "2026-11-20T08:00:00Z",
            "arrives", "2026-11-20T09:00:00Z"));
  }

  @Test
  void entry_isThereAfterTheBookWasClosed_asItWasMade() {
    records.keep("water-stew", "Maren", AT, Optional.empty(), stew("Stew 2"));
    records.keep("move-tench", "Tove", AT, Optional.empty(), tench("water-stew", 40));
    book.close();

    book = FarmBook.open(place);
    assertThat(new RecordBook(book, "Sallowmere").records().all())
        .extracting(Recorded::id, Recorded::number, Recorded::by, Recorded::at, Recorded::entry)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple(
                "water-stew",
                1L,
                "Maren",
                Instant.parse("2026-11-20T08:00:00.123456Z"),
                stew("Stew 2")),
            org.assertj.core.groups.Tuple.tuple(
                "move-tench",
                2L,
                "Tove",
                Instant.parse("2026-11-20T08:00:00.123456Z"),
                tench("water-stew", 40)));
    assertThat(new RecordBook(book, "Another farm").records().all()).isEmpty();
  }

  @Test
  void formSentTwice_isKeptOnce_andAnotherUnderItsId_isRefused() {
    assertThat(records.keep("water-stew", "Maren", AT, Optional.empty(), stew("Stew 2")))
        .isInstanceOf(Outcome.Kept.class);
    assertThat(
            records.keep(
                "water-stew", "Maren", AT.plusSeconds(60), Optional.empty(), stew("Stew 2")))
        .isInstanceOf(Outcome.KeptBefore.class);
    assertThat(records.keep("water-stew", "Maren", AT, Optional.empty(), stew("Stew 3")))
        .isEqualTo(
            new Outcome.Refused(
                "Something else was kept from the same form already; load the page again to see it"));
    assertThat(records.records().all()).hasSize(1);
  }

  @Test
  void entryThatWasUndone_withWhatElseWasWritten_isNotRemembered() {
    assertThatThrownBy(
            () ->
                book.write(
                    "write two",
                    connection -> {
                      var first =
                          records.keep("water-one", "Tove", AT, Optional.empty(), stew("Stew 1"));
                      var second =
                          records.keep("water-two", "Tove", AT, Optional.empty(), stew("Stew 2"));
                      assertThat(first).isInstanceOf(Outcome.Kept.class);
                      assertThat(second).isInstanceOf(Outcome.Kept.class);
                      throw new IllegalStateException("the disk is full");
                    }))
        .isInstanceOf(IllegalStateException.class);

    assertThat(records.records().all()).isEmpty();
    assertThat(records.keep("water-one", "Tove", AT, Optional.empty(), stew("Stew 1")))
        .isInstanceOf(Outcome.Kept.class);
    assertThat(records.records().all()).hasSize(1);
  }

  @Test
  void correction_isKeptBesideWhatItCorrects() {
    records.keep("water-stew", "Maren", AT, Optional.empty(), stew("Stew 2"));
    records.keep("move-tench", "Maren", AT, Optional.empty(), tench("water-stew", 40));
    records.keep(
        "move-tench-b",
        "Tove",
        AT,
        Optional.of(new Correction("move-tench", "Counted again", false)),
        tench("water-stew", 42));

    var standing = records.records().find(Movement.class, "move-tench").orElseThrow();
    assertThat(standing.entry().count()).hasValue(42);
    assertThat(standing.versions()).hasSize(2);
  }

  @Test
  void entryThatNamesNothing_isRefused_andLeavesNoTrace() {
    assertThat(records.keep("move-tench", "Maren", AT, Optional.empty(), tench("nowhere", 1)))
        .isEqualTo(
            new Outcome.Refused("The water that this names is not in the records; choose another"));
    assertThat(records.records().all()).isEmpty();
  }

  @Test
  void bookThatIsReadOnly_showsTheRecords_andTakesNone() {
    records.keep("water-stew", "Maren", AT, Optional.empty(), stew("Stew 2"));
    try (FarmBook readOnly = FarmBook.openReadOnly(place)) {
      RecordBook other = new RecordBook(readOnly, "Sallowmere");

      assertThat(other.isWritable()).isFalse();
      assertThat(other.records().standing(Water.class)).hasSize(1);
      records.keep("water-tank", "Maren", AT, Optional.empty(), stew("Tank 1"));
      assertThat(other.records().standing(Water.class)).as("what is new is seen").hasSize(2);
      assertThatThrownBy(
              () -> other.keep("water-late", "Maren", AT, Optional.empty(), stew("Late")))
          .isInstanceOf(UnsupportedOperationException.class);
    }
  }
}
