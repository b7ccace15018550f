// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import java.time.Instant;
import java.util.Optional;

/**
 * A program's key, without its secret.
 *
 * @param id to name it by
 * @param name what it is for
 * @param role what it may do
 * @param madeBy who made it
 * @param since when
 * @param used when it was used last, to some minutes
 */
public record ApiToken(
    String id, String name, Role role, String madeBy, Instant since, Optional<Instant> used) {

  /** A token just made, with the secret, which nobody can be told again. */
  public record Made(ApiToken token, String secret) {
    /** Without the secret: a log must not hold it. */
    @Override
    public String toString() {
      return "Made[" + token + "]";
    }
  }
}
