// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.time.Instant;
import java.time.temporal.ChronoUnit;

/** Times as the book keeps them: whole microseconds since 1970, cut off. */
public final class BookTime {

  private static final long MICROS = 1_000_000L;

  private BookTime() {}

  /** To the book. */
  public static long micros(Instant time) {
    return Math.addExact(
        Math.multiplyExact(time.getEpochSecond(), MICROS), time.getNano() / 1_000L);
  }

  /** From the book. */
  public static Instant instant(long micros) {
    return Instant.EPOCH.plus(micros, ChronoUnit.MICROS);
  }
}
