// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Instant;

/**
 * A message that a channel was handed before, as a later one about the same thing names it.
 *
 * @param identifier {@link Call#identifier}
 * @param sent {@link Call#sent}
 */
public record Earlier(String identifier, Instant sent) {

  static Earlier of(Call call) {
    return new Earlier(call.identifier(), call.sent());
  }
}
