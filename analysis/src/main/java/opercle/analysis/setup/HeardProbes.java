// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.ReadingSink;
import opercle.ingest.reading.Series;

/**
 * The newest reading of each probe since the start, for the keeper to see which are there. At most
 * {@value #MOST}; the first ones stay. For any thread.
 */
public final class HeardProbes implements ReadingSink {

  private static final int MOST = 5_000;

  private static final Comparator<Reading> BY_PLACE =
      Comparator.comparing(Reading::tank)
          .thenComparing(Reading::quantity)
          .thenComparing(Reading::probe);

  private final Map<Series, Reading> newest = new LinkedHashMap<>();

  @Override
  public synchronized void accept(List<Reading> batch) {
    for (Reading reading : batch) {
      Series series = new Series(reading.tank(), reading.quantity(), reading.probe());
      if (newest.containsKey(series) || newest.size() < MOST) {
        newest.merge(series, reading, (old, now) -> now.time().isBefore(old.time()) ? old : now);
      }
    }
  }

  /** The newest readings of the probes of a tank. */
  public synchronized List<Reading> of(String tank) {
    List<Reading> here = new ArrayList<>();
    for (Reading reading : newest.values()) {
      if (reading.tank().equals(tank)) {
        here.add(reading);
      }
    }
    here.sort(BY_PLACE);
    return here;
  }
}
