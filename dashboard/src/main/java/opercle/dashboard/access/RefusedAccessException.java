// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

/** A change of users or tokens that is not made; the message is a sentence for a person. */
public final class RefusedAccessException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  public RefusedAccessException(String message) {
    super(message);
  }
}
