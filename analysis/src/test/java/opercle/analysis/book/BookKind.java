// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.Optional;
import opercle.ingest.LocalPostgres;

/** The databases that a farm book can be in: what is tested of it is tested in each. */
public enum BookKind {
  SQLITE,
  POSTGRESQL;

  /**
   * A place for a book of its own. On a server the empty book is there already.
   *
   * @param folder for a file
   */
  public BookPlace place(Path folder) {
    return this == SQLITE ? BookPlace.file(folder.resolve("book.db")) : onServer();
  }

  /** A place without a book. */
  BookPlace bare(Path folder) {
    return this == SQLITE ? place(folder) : server(postgres -> postgres.newDatabase());
  }

  private interface Making {
    String make(LocalPostgres postgres) throws IOException, InterruptedException;
  }

  private static BookPlace server(Making making) {
    try {
      LocalPostgres postgres = LocalPostgres.shared();
      return BookPlace.server(of(postgres, making.make(postgres)));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (InterruptedException e) {
      throw new AssertionError(e);
    }
  }

  private static BookPlace onServer() {
    return server(
        postgres ->
            postgres.newDatabase(
                name -> FarmBook.open(BookPlace.server(of(postgres, name))).close()));
  }

  static BookServer of(LocalPostgres postgres, String database) {
    return new BookServer(
        "127.0.0.1",
        postgres.port(),
        database,
        LocalPostgres.USER,
        Optional.of(LocalPostgres.PASSWORD),
        false,
        Optional.empty());
  }
}
