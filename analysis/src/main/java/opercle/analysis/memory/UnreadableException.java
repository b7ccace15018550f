// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

/** Saved text is not what it should be; the message says where and what. */
final class UnreadableException extends Exception {

  private static final long serialVersionUID = 1L;

  UnreadableException(String message) {
    super(message);
  }
}
