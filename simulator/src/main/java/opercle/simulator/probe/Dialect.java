// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.probe;

import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Series;

/** How a probe talks. Which probe talks how is fixed by its name, so that runs can be compared. */
public enum Dialect {
  /** A bare number; no time of its own, and nothing kept while the link is down. */
  BARE_NUMBER,
  /** SenML packs with times; keeps what it could not send and sends it later. */
  SENML;

  /** The dialect of a series: about one probe in three sends bare numbers. */
  public static Dialect of(Series series) {
    if (series.quantity() == Quantity.CYLINDER_PRESSURE) {
      return SENML;
    }
    int h = (series.tank() + "/" + series.quantity().id() + "/" + series.probe()).hashCode();
    return Math.floorMod(h, 3) == 0 ? BARE_NUMBER : SENML;
  }
}
