// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

/** The store could not do what was asked; the message names the store and says what went wrong. */
public class StoreException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  public StoreException(String message, Throwable cause) {
    super(message, cause);
  }

  public StoreException(String message) {
    super(message);
  }
}
