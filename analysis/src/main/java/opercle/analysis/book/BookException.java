// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

/**
 * The farm book could not do what was asked; the message names the place and says what is wrong.
 */
public final class BookException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  public BookException(String message, Throwable cause) {
    super(message, cause);
  }

  public BookException(String message) {
    super(message);
  }

  /**
   * In one line, as it goes to logs and pages.
   *
   * @param what completes "the farm book … could not …"
   */
  static BookException failed(BookPlace place, String what, Exception e) {
    return new BookException(
        "the farm book %s could not %s: %s".formatted(place, what, place.reason(e)), e);
  }
}
