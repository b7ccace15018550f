// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Optional;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.BookServer;
import opercle.analysis.book.FarmBook;
import opercle.ingest.LocalPostgres;

/** Empty farm books on a real PostgreSQL. */
public final class PostgresBook {

  private PostgresBook() {}

  /** A book of its own. */
  public static BookPlace place() {
    try {
      LocalPostgres postgres = LocalPostgres.shared();
      return place(
          postgres, postgres.newDatabase(name -> FarmBook.open(place(postgres, name)).close()));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (InterruptedException e) {
      throw new AssertionError(e);
    }
  }

  private static BookPlace place(LocalPostgres postgres, String database) {
    return BookPlace.server(
        new BookServer(
            "127.0.0.1",
            postgres.port(),
            database,
            LocalPostgres.USER,
            Optional.of(LocalPostgres.PASSWORD),
            false,
            Optional.empty()));
  }
}
