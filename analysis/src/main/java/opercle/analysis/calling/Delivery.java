// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.util.Optional;

/** What became of one attempt to hand a call on. Not a receipt: nobody need have read it. */
public sealed interface Delivery {

  /**
   * The next system on the way has it.
   *
   * @param words what it answered, in a few words, for the record
   */
  record Accepted(String words) implements Delivery {}

  /**
   * It was not taken.
   *
   * @param reason in words that hold no secret
   * @param again whether trying the same again later may help
   * @param after how long the other side asks to be left alone; empty where it does not say
   */
  record Failed(String reason, boolean again, Optional<Duration> after) implements Delivery {}

  /** Not taken now; trying again may help. */
  static Failed failed(String reason) {
    return new Failed(reason, true, Optional.empty());
  }

  /** Refused for good: the same again would be refused again. */
  static Failed refused(String reason) {
    return new Failed(reason, false, Optional.empty());
  }
}
