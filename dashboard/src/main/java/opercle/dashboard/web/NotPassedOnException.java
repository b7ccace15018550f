// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

/** What somebody did has not reached the watch; the message says why, in words for the keeper. */
public final class NotPassedOnException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  /**
   * With the reason.
   *
   * @param words a sentence or two for whoever asked
   */
  public NotPassedOnException(String words) {
    super(words);
  }
}
