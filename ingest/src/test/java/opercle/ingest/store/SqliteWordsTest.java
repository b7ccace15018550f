// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.sqlite.SQLiteErrorCode;
import org.sqlite.SQLiteException;

class SqliteWordsTest {

  @ParameterizedTest
  @CsvSource({
    "SQLITE_FULL, the disk is full",
    "SQLITE_READONLY_DBMOVED, it may only be read",
    "SQLITE_IOERR_FSYNC, the disk does not work",
    "SQLITE_CORRUPT, 'the file is damaged, or no database'",
    "SQLITE_BUSY, another program holds it",
    "SQLITE_MISMATCH, it does not take what was asked; the log says more"
  })
  void code_isSaidInPlainWords(SQLiteErrorCode code, String words) {
    SQLiteException failed = new SQLiteException("[" + code + "] raw", code);

    assertThat(SqliteWords.why(new IllegalStateException(failed))).contains(words);
  }

  @Test
  void otherFailures_areNotOfSqlite() {
    assertThat(SqliteWords.why(new IllegalStateException("something else"))).isEmpty();
  }
}
