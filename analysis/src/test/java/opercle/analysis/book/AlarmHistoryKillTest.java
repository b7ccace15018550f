// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static opercle.analysis.book.Alarms.FARM;
import static opercle.analysis.book.Alarms.T0;
import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import opercle.analysis.alarm.AlarmEvent;
import opercle.ingest.ChildJvm;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The history against a process that is killed outright. */
class AlarmHistoryKillTest {

  @TempDir Path folder;

  /** Writes events without end, and prints how many are on the disk. */
  static final class Writer {
    private Writer() {}

    @SuppressWarnings("resource") // it is there to be killed
    public static void main(String[] arguments) {
      AlarmHistory history = new AlarmHistory(FarmBook.open(Path.of(arguments[0])), FARM);
      int told = 0;
      while (true) {
        history.events(List.of(Alarms.raised("h1", told++)));
        int waiting = history.pending().size();
        System.out.println("kept " + (told - waiting));
        while (history.pending().size() > 50) {
          Thread.onSpinWait();
        }
      }
    }
  }

  @Test
  void killedWhileWriting_keepsAllThatItCalledKept_andTakesItUpAgain() throws Exception {
    Path file = folder.resolve("book.db");
    int kept = 0;
    try (ChildJvm child = ChildJvm.start(Writer.class, file.toString())) {
      for (int seen = 0; seen < 300; seen++) {
        String line = child.awaitLine(l -> l.startsWith("kept "), Duration.ofSeconds(60));
        kept = Math.max(kept, Integer.parseInt(line.substring("kept ".length())));
      }
      child.kill();
      for (String line : child.remainingLines()) {
        if (line.matches("kept \\d+")) {
          kept = Math.max(kept, Integer.parseInt(line.substring("kept ".length())));
        }
      }
    }
    assertThat(kept).isPositive();
    try (FarmBook book = FarmBook.open(file)) {
      AlarmRecords records = new AlarmRecords(book, FARM);
      List<AlarmEvent> there = records.between(T0, T0.plusSeconds(10_000_000));
      assertThat(there).hasSizeGreaterThanOrEqualTo(kept);
      for (int i = 0; i < there.size(); i++) {
        assertThat(there.get(i)).isEqualTo(Alarms.raised("h1", i)); // whole, and none left out
      }
      try (AlarmHistory again = new AlarmHistory(book, FARM)) {
        again.events(List.of(Alarms.raised("h1", 0), Alarms.raised("h1", there.size())));
      }
      assertThat(records.between(T0, T0.plusSeconds(10_000_000))).hasSize(there.size() + 1);
    }
  }
}
