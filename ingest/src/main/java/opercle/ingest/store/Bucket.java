// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Instant;

/**
 * The readings of one series in one span of time, drawn together so that a dip stays visible.
 *
 * @param start the span's start, included
 * @param end the span's end, not included
 * @param min the lowest value, in the quantity's canonical unit
 * @param max the highest value
 * @param mean the mean of the values, each counting alike
 * @param count how many readings there are; at least one
 */
public record Bucket(Instant start, Instant end, double min, double max, double mean, long count) {}
