// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.sql.SQLException;
import javax.sql.DataSource;
import org.flywaydb.core.Flyway;
import org.flywaydb.core.api.FlywayException;
import org.flywaydb.core.api.MigrationInfo;
import org.jspecify.annotations.Nullable;

/**
 * Brings a farm book to the present form. The steps are the SQL files {@code V1__….sql}, {@code
 * V2__….sql} beside this class; one that was released is never changed: add another.
 */
final class Migrations {

  private static final String STEPS = "classpath:opercle/analysis/book";

  /** Keeps which steps the book has had. */
  static final String TABLE = "book_version";

  private Migrations() {}

  /**
   * Runs the steps that the book has not had yet.
   *
   * @throws BookException if a step fails, or the book is newer than this program
   */
  static void bringUpToDate(BookPlace place) {
    try {
      Flyway flyway = flyway(place.migrating());
      requireKnown(flyway, place);
      var unused = flyway.migrate();
    } catch (FlywayException e) {
      throw BookException.failed(place, "be brought up to date", cause(e));
    }
  }

  /**
   * Checks that another process has brought the book to the form that this program reads.
   *
   * @throws BookException if it is older or newer
   */
  static void requireUpToDate(BookPlace place) {
    try {
      Flyway flyway = flyway(place.looking());
      requireKnown(flyway, place);
      if (flyway.info().pending().length > 0) {
        throw new BookException(
            "the farm book %s was written by an older version of Opercle; start the analyse service of this version first"
                .formatted(place));
      }
    } catch (FlywayException e) {
      throw BookException.failed(place, "be read", cause(e));
    }
  }

  /** What the database said, without the page that is written round it; else all of it. */
  private static Exception cause(FlywayException e) {
    @Nullable Throwable cause = e.getCause();
    while (cause != null && !(cause instanceof SQLException)) {
      cause = cause.getCause();
    }
    return cause instanceof SQLException said ? said : e;
  }

  private static void requireKnown(Flyway flyway, BookPlace place) {
    for (MigrationInfo step : flyway.info().applied()) {
      if (step.getState().isApplied() && !step.getState().isResolved()) {
        throw new BookException(
            "%s was written by a newer version of Opercle (step %s is not known here); update Opercle, or give it another data folder"
                .formatted(place, step.getVersion()));
      }
    }
  }

  private static Flyway flyway(DataSource source) {
    return Flyway.configure(Migrations.class.getClassLoader())
        .dataSource(source)
        .locations(STEPS)
        .table(TABLE)
        .validateMigrationNaming(true)
        .outOfOrder(true) // parts of the book grow apart: a lower number may come later
        .load();
  }
}
