// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import opercle.analysis.book.BookPlace;
import opercle.dashboard.PostgresBook;

/** The same with a book on a server. */
class AccessDeskOnPostgresTest extends AccessDeskTest {

  @Override
  BookPlace place() {
    return PostgresBook.place();
  }
}
