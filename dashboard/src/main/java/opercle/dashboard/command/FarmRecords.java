// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.InstantSource;
import java.time.ZoneId;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.RecordBook;
import opercle.analysis.farm.Farm;
import opercle.dashboard.web.RecordsApi;

/** The records and their page, for the commands that serve pages. */
final class FarmRecords {

  private FarmRecords() {}

  /** In a book that is open here. */
  static RecordsApi in(FarmBook book, Farm farm, ZoneId zone, InstantSource clock) {
    Optional<RecordBook> records = Optional.of(new RecordBook(book, farm.name()));
    return new RecordsApi(() -> records, zone, clock::instant, farm.name());
  }

  /** In the book that another process writes; it may not be there yet. */
  static RecordsApi toRead(BookToRead book, Farm farm, ZoneId zone, InstantSource clock) {
    return new RecordsApi(
        () -> book.book().map(b -> new RecordBook(b, farm.name())),
        zone,
        clock::instant,
        farm.name());
  }
}
