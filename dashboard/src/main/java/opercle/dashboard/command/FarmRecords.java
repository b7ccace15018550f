// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import io.javalin.config.RoutesConfig;
import java.nio.file.Path;
import java.time.InstantSource;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.Stream;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.RecordBook;
import opercle.analysis.farm.Farm;
import opercle.dashboard.web.RecordsApi;

/** The addresses of the records, for the commands that serve pages. */
final class FarmRecords {

  private FarmRecords() {}

  /** In a book that is open here; after other addresses. */
  static List<Consumer<RoutesConfig>> after(
      List<Consumer<RoutesConfig>> others,
      FarmBook book,
      Farm farm,
      ZoneId zone,
      InstantSource clock) {
    Optional<RecordBook> records = Optional.of(new RecordBook(book, farm.name()));
    return Stream.concat(
            others.stream(), Stream.of(new RecordsApi(() -> records, zone, clock::instant)))
        .toList();
  }

  /** In the book that another process writes; it may not be there yet. */
  static RecordsApi toRead(RunningParts parts, Path dataFolder, Farm farm, InstantSource clock) {
    BookToRead book = parts.add(new BookToRead(FarmBook.fileIn(dataFolder)));
    return new RecordsApi(
        () -> book.book().map(b -> new RecordBook(b, farm.name())),
        ZoneId.systemDefault(),
        clock::instant);
  }
}
