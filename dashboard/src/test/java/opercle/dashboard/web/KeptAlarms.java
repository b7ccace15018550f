// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmEvent.Kind;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.book.AlarmHistory;
import opercle.analysis.book.AlarmRecords;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TankEventRecords;
import opercle.analysis.book.TripRecords;
import opercle.analysis.figures.Deliveries;

/** A real farm book with a few alarms of Sallowmere in it. */
final class KeptAlarms implements AutoCloseable {

  /**
   * Where the made-up farm of these tests lies: another clock than the browser's and the server's
   * own, and one that is changed twice a year.
   */
  static final ZoneId ZONE = ZoneId.of("America/St_Johns");

  static final Instant GAS_SINCE = FakeFarm.NIGHT.minus(Duration.ofHours(24));
  static final Instant PROBE_SINCE = FakeFarm.NIGHT.minus(Duration.ofMinutes(6));
  static final Instant OLD_SINCE = FakeFarm.NIGHT.minus(Duration.ofDays(9));

  private final FarmBook book;
  private final PastAlarms past;

  private KeptAlarms(FarmBook book) {
    this.book = book;
    AlarmRecords records = new AlarmRecords(book, "Sallowmere");
    this.past =
        new PastAlarms(
            () -> Optional.of(records),
            ZONE,
            Deliveries.Source.NONE,
            () -> Optional.of(new TankEventRecords(book, "Sallowmere")),
            () -> Optional.of(new RecordBook(book, "Sallowmere")),
            () -> Optional.of(new TripRecords(book, "Sallowmere")),
            () -> Optional.of(new FarmRecords(book)));
  }

  static KeptAlarms in(Path folder) {
    FarmBook book = FarmBook.open(folder.resolve("book.db"));
    try (AlarmHistory history = new AlarmHistory(book, "Sallowmere")) {
      history.events(
          List.of(
              event(Kind.RAISED, "h3", AlarmCause.OXYGEN_LOW, Priority.MEDIUM, OLD_SINCE, 0),
              event(Kind.RAISED, "h2", AlarmCause.GAS_LINE_STOPPED, Priority.HIGH, GAS_SINCE, 0),
              event(
                  Kind.ACKNOWLEDGED,
                  "h2",
                  AlarmCause.GAS_LINE_STOPPED,
                  Priority.HIGH,
                  GAS_SINCE,
                  150),
              event(Kind.CLEARED, "h2", AlarmCause.GAS_LINE_STOPPED, Priority.HIGH, GAS_SINCE, 720),
              event(Kind.RAISED, "q1", AlarmCause.PROBE_SILENT, Priority.LOW, PROBE_SINCE, 0)));
    }
    return new KeptAlarms(book);
  }

  /** Trips in the same book. */
  Supplier<Optional<TripRecords>> trips() {
    return KeptTrips.in(book);
  }

  FarmBook book() {
    return book;
  }

  PastAlarms past() {
    return past;
  }

  /** The same book, opened a second time for reading only. */
  static PastAlarms readOnly(FarmBook reader) {
    AlarmRecords records = new AlarmRecords(reader, "Sallowmere");
    return new PastAlarms(() -> Optional.of(records), ZoneId.of("UTC"), Deliveries.Source.NONE);
  }

  /** More of them; they are in the book when this returns. */
  void tell(List<AlarmEvent> events) {
    try (AlarmHistory history = new AlarmHistory(book, "Sallowmere")) {
      history.events(events);
    }
  }

  static AlarmEvent event(
      Kind kind, String tank, AlarmCause cause, Priority priority, Instant since, long after) {
    AlarmState state =
        switch (kind) {
          case ACKNOWLEDGED -> AlarmState.ACKNOWLEDGED;
          case CLEARED -> AlarmState.NORMAL;
          default -> AlarmState.UNACKNOWLEDGED;
        };
    return new AlarmEvent(
        since.plusSeconds(after),
        tank,
        cause,
        kind,
        priority,
        state,
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        "What " + tank + " is about, <b>in words</b>.",
        since,
        state.callsSomebody(),
        kind == Kind.ACKNOWLEDGED ? Optional.of("Maren") : Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        List.of());
  }

  @Override
  public void close() {
    book.close();
  }
}
