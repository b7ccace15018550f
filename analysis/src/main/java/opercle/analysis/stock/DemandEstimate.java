// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import java.util.List;
import opercle.analysis.Band;

/**
 * What fish of one species and size breathe, and how far to trust it.
 *
 * @param mgPerKgPerHour mg of oxygen per kg of fish per hour
 * @param evidence where the likely value comes from
 * @param notes what the band was widened for, in whole sentences; empty when nothing was
 */
public record DemandEstimate(Band mgPerKgPerHour, Evidence evidence, List<String> notes) {

  public DemandEstimate {
    notes = List.copyOf(notes);
  }
}
