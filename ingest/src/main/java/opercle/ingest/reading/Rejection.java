// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.reading;

import java.time.Instant;

/**
 * Why one message, or one record within it, was not taken.
 *
 * @param reason the kind, for counting
 * @param source where it came from: the topic, or file and line
 * @param detail one sentence for a person: field, value, limit, unit
 * @param time when it arrived
 */
public record Rejection(Reason reason, String source, String detail, Instant time) {

  /** Kinds of rejection; each is counted apart. */
  public enum Reason {
    /** No bytes, or only white space. */
    EMPTY,
    /** More bytes than any probe sends. */
    TOO_LARGE,
    /** Not UTF-8. */
    NOT_TEXT,
    /** Neither a number nor well-formed JSON or CBOR of a known form, or nested too deep. */
    MALFORMED,
    /** NaN, infinite, or not a number where one belongs. */
    NOT_A_NUMBER,
    /** A unit that the quantity does not have. */
    UNKNOWN_UNIT,
    /** Outside the quantity's plausible range. */
    OUT_OF_RANGE,
    /** Before 2000, or too far ahead of our clock. */
    IMPLAUSIBLE_TIME,
    /** A topic that no rule maps to a tank and a quantity. */
    UNKNOWN_TOPIC,
    /** A tank that the farm does not have. */
    UNKNOWN_TANK,
    /** A tank or probe name with characters that names do not have, or too long. */
    BAD_NAME,
    /** A retained message whose reading has no time of its own: it may be hours old. */
    NO_TIME
  }
}
