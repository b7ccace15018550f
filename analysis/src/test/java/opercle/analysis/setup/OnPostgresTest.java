// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import opercle.analysis.book.BookKind;
import org.junit.jupiter.api.Nested;

/** What is changed while everything runs, with a farm book on a server. */
class OnPostgresTest {

  @Nested
  class Farm extends FarmDeskTest {
    @Override
    BookKind kind() {
      return BookKind.POSTGRESQL;
    }
  }

  @Nested
  class Trips extends TripDoorTest {
    @Override
    BookKind kind() {
      return BookKind.POSTGRESQL;
    }
  }

  @Nested
  class Losses extends TripLossesTest {
    @Override
    BookKind kind() {
      return BookKind.POSTGRESQL;
    }
  }

  @Nested
  class Probes extends ProbeDeskTest {
    @Override
    BookKind kind() {
      return BookKind.POSTGRESQL;
    }
  }
}
