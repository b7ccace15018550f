// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.ZoneId;
import java.util.Optional;
import java.util.function.Supplier;
import opercle.analysis.book.AlarmRecords;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TankEventRecords;
import opercle.analysis.book.TripRecords;
import opercle.analysis.figures.Deliveries;
import opercle.dashboard.web.PastAlarms;

/**
 * What the pages read of the farm book.
 *
 * @param past alarms, and what people did at the tanks
 * @param trips the farm's trips; empty while there is no book
 * @param work what was written down at the tanks; empty while there is no book
 * @param photos pictures that go with it; empty while there is no book
 * @param versions how the farm stood when; empty while there is no book
 */
record Kept(
    PastAlarms past,
    Supplier<Optional<TripRecords>> trips,
    Supplier<Optional<RecordBook>> work,
    Supplier<Optional<PhotoRecords>> photos,
    Supplier<Optional<opercle.analysis.book.FarmRecords>> versions) {

  /** From a book that is open here, with how calls fared where people are called. */
  static Kept in(FarmBook book, String farm, Optional<PeopleCalled> called) {
    Optional<AlarmRecords> alarms = Optional.of(new AlarmRecords(book, farm));
    Optional<TankEventRecords> events = Optional.of(new TankEventRecords(book, farm));
    Optional<TripRecords> trips = Optional.of(new TripRecords(book, farm));
    Optional<RecordBook> work = Optional.of(new RecordBook(book, farm));
    Optional<PhotoRecords> photos = Optional.of(new PhotoRecords(book, farm));
    Optional<opercle.analysis.book.FarmRecords> versions =
        Optional.of(new opercle.analysis.book.FarmRecords(book));
    return new Kept(
        new PastAlarms(
            () -> alarms,
            called.map(PeopleCalled::zone).orElse(ZoneId.systemDefault()),
            called.map(PeopleCalled::deliveries).orElse(Deliveries.Source.NONE),
            () -> events,
            () -> work,
            () -> trips,
            () -> versions),
        () -> trips,
        () -> work,
        () -> photos,
        () -> versions);
  }

  /** From the book that another process writes; it may not be there yet. */
  static Kept in(BookToRead book, String farm, ZoneId zone) {
    Supplier<Optional<TripRecords>> trips = () -> book.book().map(b -> new TripRecords(b, farm));
    Supplier<Optional<RecordBook>> work = () -> book.book().map(b -> new RecordBook(b, farm));
    Supplier<Optional<opercle.analysis.book.FarmRecords>> versions =
        () -> book.book().map(opercle.analysis.book.FarmRecords::new);
    return new Kept(
        new PastAlarms(
            () -> book.book().map(b -> new AlarmRecords(b, farm)),
            zone,
            Deliveries.Source.NONE,
            () -> book.book().map(b -> new TankEventRecords(b, farm)),
            work,
            trips,
            versions),
        trips,
        work,
        () -> book.book().map(b -> new PhotoRecords(b, farm)),
        versions);
  }
}
