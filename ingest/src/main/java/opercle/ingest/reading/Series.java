// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.reading;

/**
 * The readings of one probe: what the store keeps together.
 *
 * @param tank the tank's id
 * @param quantity what the probe measures
 * @param probe the probe's name within the tank and quantity
 */
public record Series(String tank, Quantity quantity, String probe) {}
