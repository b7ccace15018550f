// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import opercle.analysis.calling.Delivery;

/**
 * One way to tell one person something.
 *
 * <p>Called from several threads at once. It may block, but must return within a deadline of its
 * own of at most {@link #LONGEST_SECONDS}. It tries once; whoever calls it tries again. What it is
 * given twice with the same key ({@code message.call().key()}) it may send twice, if the other side
 * can tell by the key that it is the same.
 */
@FunctionalInterface
public interface Channel {

  /** The longest that an attempt may take. */
  int LONGEST_SECONDS = 30;

  /**
   * Hands one message on.
   *
   * @return what became of it; one that throws counts as failed, to be tried again
   */
  Delivery deliver(Message message);
}
