// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Instant;

/**
 * What of the readings was given up, last resort, since the spool was made.
 *
 * @param what how
 * @param readings how many
 * @param first the time of the oldest
 * @param last the time of the newest
 */
public record GivenUp(What what, long readings, Instant first, Instant last) {

  /** How readings are given up, in this order, so that the disk does not fill. */
  public enum What {
    /** Of a minute's readings the lowest and the highest stay, and its summary. */
    THINNED,
    /** A minute's summary alone stays: lowest, highest, mean and count. */
    SUMMARY_LEFT,
    /** Nothing of them stays. */
    LOST,
    /** InfluxDB would not have them, for instance as older than it keeps any. */
    REFUSED
  }
}
