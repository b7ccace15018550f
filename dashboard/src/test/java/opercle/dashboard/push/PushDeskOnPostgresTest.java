// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import opercle.analysis.book.BookPlace;
import opercle.dashboard.PostgresBook;

/** The same with a book on a server. */
class PushDeskOnPostgresTest extends PushDeskTest {

  @Override
  BookPlace place() {
    return PostgresBook.place();
  }
}
