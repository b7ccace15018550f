// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

/**
 * One thing to do otherwise next time.
 *
 * @param words whole sentences for the keeper, with the number that they stand on
 * @param value that number
 * @param unit its unit
 */
public record Lesson(String words, double value, String unit) {}
