// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import org.junit.jupiter.api.Nested;

/** All that is tested of a farm book in a file, of one on a server. */
class OnPostgresTest {

  @Nested
  class Book extends FarmBookTest {
    @Override
    BookKind kind() {
      return BookKind.POSTGRESQL;
    }
  }

  @Nested
  class History extends AlarmHistoryTest {
    @Override
    BookKind kind() {
      return BookKind.POSTGRESQL;
    }
  }

  @Nested
  class Alarms extends AlarmRecordsTest {
    @Override
    BookKind kind() {
      return BookKind.POSTGRESQL;
    }
  }

  @Nested
  class Trips extends TripRecordsTest {
    @Override
    BookKind kind() {
      return BookKind.POSTGRESQL;
    }
  }

  @Nested
  class Records extends RecordBookTest {
    @Override
    BookKind kind() {
      return BookKind.POSTGRESQL;
    }
  }

  @Nested
  class Photos extends PhotoRecordsTest {
    @Override
    BookKind kind() {
      return BookKind.POSTGRESQL;
    }
  }
}
