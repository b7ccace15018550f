// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

/** An act on an alarm that is not allowed; the message says why, in words for the keeper. */
public final class RefusedActException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  /**
   * With the reason.
   *
   * @param words a sentence or two for whoever asked
   */
  public RefusedActException(String words) {
    super(words);
  }
}
