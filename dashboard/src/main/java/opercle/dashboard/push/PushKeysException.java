// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

/** The file of push keys cannot be used. The message is a sentence for the keeper. */
public final class PushKeysException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  PushKeysException(String message, Exception cause) {
    super(message, cause);
  }
}
