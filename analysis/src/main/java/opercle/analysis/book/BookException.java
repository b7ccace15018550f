// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

/** The farm book could not do what was asked; the message names the file and says what is wrong. */
public final class BookException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  public BookException(String message, Throwable cause) {
    super(message, cause);
  }

  public BookException(String message) {
    super(message);
  }
}
