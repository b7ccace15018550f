// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.time.Duration;

/** What a push service said to a message. "Taken" is not "seen": a phone may be off. */
public sealed interface PushOutcome {

  /** The service has it and will try to deliver it within its time to live. */
  record Taken() implements PushOutcome {}

  /** The subscription has ended (404, 410): it must be forgotten. */
  record Gone() implements PushOutcome {}

  /**
   * Not now (429, 503).
   *
   * @param retryAfter how long the service asks us to wait, at most an hour
   */
  record Later(Duration retryAfter) implements PushOutcome {}

  /**
   * Not taken, and trying the same again is no use.
   *
   * @param why a sentence for the keeper
   */
  record Refused(String why) implements PushOutcome {}

  /**
   * The service could not be reached; trying again may help.
   *
   * @param why a sentence for the keeper
   */
  record Unreached(String why) implements PushOutcome {}
}
