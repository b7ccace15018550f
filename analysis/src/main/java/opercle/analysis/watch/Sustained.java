// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * A condition that counts only once it has held for a while. A value.
 *
 * @param holds whether it held when last looked at
 * @param since when it began to hold
 */
record Sustained(boolean holds, long since) {

  static final Sustained NOT = new Sustained(false, 0);

  Sustained next(boolean holdsNow, long now) {
    if (!holdsNow) {
      return NOT;
    }
    return holds && since <= now ? this : new Sustained(true, now);
  }

  /** The clock has stepped: how long it has held stays. */
  Sustained laterBy(long micros) {
    return holds ? new Sustained(true, since + micros) : this;
  }

  boolean isFor(double seconds, long now) {
    return holds && Micros.seconds(now - since) >= seconds;
  }
}
