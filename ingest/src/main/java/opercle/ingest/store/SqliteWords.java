// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.sqlite.SQLiteException;

/** Why a file of SQLite does not do what is asked, for a person; its own words are for the log. */
public final class SqliteWords {

  private static final int DEEPEST = 10;

  private SqliteWords() {}

  /** One clause, without a full stop; empty if SQLite is not what failed. */
  public static Optional<String> why(Exception failure) {
    @Nullable Throwable cause = failure;
    for (int i = 0; cause != null && i < DEEPEST; i++) {
      if (cause instanceof SQLiteException failed) {
        return Optional.of(of(failed.getResultCode().code & 0xff)); // extended codes begin so
      }
      cause = cause.getCause();
    }
    return Optional.empty();
  }

  /** Primary result codes as in https://www.sqlite.org/rescode.html. */
  private static String of(int code) {
    return switch (code) {
      case 5, 6 -> "another program holds it";
      case 8 -> "it may only be read";
      case 10 -> "the disk does not work";
      case 11, 26 -> "the file is damaged, or no database";
      case 13 -> "the disk is full";
      case 14 -> "the file cannot be opened";
      default -> "it does not take what was asked; the log says more";
    };
  }
}
