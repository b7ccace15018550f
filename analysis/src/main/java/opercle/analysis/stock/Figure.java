// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.Band;

/**
 * A figure with its unit and where it comes from.
 *
 * @param value low, likely, high
 * @param unit as people write it
 * @param evidence where it comes from
 */
public record Figure(Band value, String unit, Evidence evidence) {}
