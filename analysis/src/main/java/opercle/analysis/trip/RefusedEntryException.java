// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

/** An entry that does not fit the trip; the message says why, for the person who wrote it. */
public final class RefusedEntryException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  RefusedEntryException(String message) {
    super(message);
  }
}
