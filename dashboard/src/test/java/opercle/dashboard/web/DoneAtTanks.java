// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.RecordBook.Outcome;
import opercle.analysis.book.TankEventRecords;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.records.Recorded;
import opercle.analysis.watch.TankEvent;

/** What people did at tanks of the made-up farm, in a farm book. */
final class DoneAtTanks {

  /** Everything is written down at this time, however long ago it was done. */
  static final Instant WRITTEN = FakeFarm.NIGHT;

  private final RecordBook records;
  private final TankEventRecords events;

  DoneAtTanks(FarmBook book) {
    this.records = new RecordBook(book, "Sallowmere");
    this.events = new TankEventRecords(book, "Sallowmere");
  }

  static Instant hoursAgo(double hours) {
    return FakeFarm.NIGHT.minus(Duration.ofMinutes(Math.round(60.0 * hours)));
  }

  void write(String id, Entry.Kind kind, String tank, Instant time, Map<String, ?> more) {
    keep(id, kind, tank, time, more, WRITTEN, Optional.empty());
  }

  void writeAtOnce(String id, Entry.Kind kind, String tank, Instant time, Map<String, ?> more) {
    keep(id, kind, tank, time, more, time, Optional.empty());
  }

  void correct(
      String id,
      String corrects,
      Entry.Kind kind,
      Instant time,
      Map<String, ?> more,
      boolean gone) {
    keep(
        id,
        kind,
        "h2",
        time,
        more,
        WRITTEN,
        Optional.of(new Recorded.Correction(corrects, "mistyped", gone)));
  }

  private void keep(
      String id,
      Entry.Kind kind,
      String tank,
      Instant time,
      Map<String, ?> more,
      Instant written,
      Optional<Recorded.Correction> correction) {
    Map<String, Object> fields = new HashMap<>(more);
    fields.put("tank", tank);
    fields.put("tankName", FakeFarm.quiet().farm().tank(tank).orElseThrow().name());
    fields.put("time", time.toString());
    Outcome outcome =
        records.keep(id, "Maren", written, correction, EntryFields.read(kind, fields));
    assertThat(outcome).as(id).isNotInstanceOf(Outcome.Refused.class);
  }

  void press(String tank, TankEvent.Kind kind, Instant time, String by) {
    events.keep(List.of(new TankEvent(tank, kind, time, Optional.of(by))));
  }
}
