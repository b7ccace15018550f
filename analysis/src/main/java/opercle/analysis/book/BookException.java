// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

/**
 * The farm book could not do what was asked; the message names the place and says what is wrong.
 */
public final class BookException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  private final boolean isAway;

  public BookException(String message, Throwable cause) {
    this(message, cause, false);
  }

  private BookException(String message, Throwable cause, boolean isAway) {
    super(message, cause);
    this.isAway = isAway;
  }

  public BookException(String message) {
    super(message);
    this.isAway = false;
  }

  /**
   * Whether only the server that the book is on is away, or too busy: it may answer later without
   * anybody changing a setting.
   */
  public boolean isAway() {
    return isAway;
  }

  /**
   * In one line, as it goes to logs and pages.
   *
   * @param what completes "the farm book … could not …"
   */
  static BookException failed(BookPlace place, String what, Exception e) {
    return new BookException(
        "the farm book %s could not %s: %s".formatted(place, what, place.reason(e)),
        e,
        place.isAway(e));
  }
}
