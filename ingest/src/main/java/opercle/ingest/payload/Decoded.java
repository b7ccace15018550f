// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import java.util.List;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Rejection;

/**
 * What one message came to. A message may bring both: a bad record does not spoil the good ones.
 *
 * @param readings in the message's order
 * @param rejections in the message's order
 */
public record Decoded(List<Reading> readings, List<Rejection> rejections) {

  public Decoded {
    readings = List.copyOf(readings);
    rejections = List.copyOf(rejections);
  }
}
