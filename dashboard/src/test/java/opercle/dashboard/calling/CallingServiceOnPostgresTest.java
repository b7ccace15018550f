// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import opercle.analysis.book.BookPlace;
import opercle.dashboard.PostgresBook;

/** The same with a book on a server. */
class CallingServiceOnPostgresTest extends CallingServiceTest {

  @Override
  BookPlace place() {
    return PostgresBook.place();
  }
}
