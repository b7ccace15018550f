// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.reading;

/**
 * A value that has been brought to its quantity's canonical unit.
 *
 * @param quantity what it turned out to be: oxygen given as a percentage is {@link
 *     Quantity#OXYGEN_SATURATION}
 * @param value in that quantity's canonical unit; not checked for range
 */
public record Measured(Quantity quantity, double value) {}
