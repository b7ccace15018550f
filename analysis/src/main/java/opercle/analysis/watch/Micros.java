// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Instant;

/** Instants as microseconds since 1970, which a stream of readings is quick to work with. */
final class Micros {

  private Micros() {}

  static long of(Instant instant) {
    return instant.getEpochSecond() * 1_000_000L + instant.getNano() / 1_000;
  }

  static long of(double seconds) {
    return Math.round(seconds * 1e6);
  }

  static double seconds(long micros) {
    return micros / 1e6;
  }

  static Instant instant(long micros) {
    return Instant.ofEpochSecond(
        Math.floorDiv(micros, 1_000_000L), Math.floorMod(micros, 1_000_000L) * 1_000L);
  }
}
