// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.util.ArrayList;
import java.util.List;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.ReadingSink;

/** Keeps what it is given, unless it is told to refuse. */
final class CollectingSink implements ReadingSink {

  private final List<Reading> taken = new ArrayList<>();
  private final List<List<Reading>> refused = new ArrayList<>();
  private boolean refusing;

  @Override
  public synchronized void accept(List<Reading> batch) {
    if (refusing) {
      refused.add(batch);
      throw new IllegalStateException("the disk is full");
    }
    taken.addAll(batch);
  }

  synchronized void refuse(boolean refuse) {
    refusing = refuse;
  }

  synchronized void clear() {
    taken.clear();
    refused.clear();
    refusing = false;
  }

  synchronized List<Reading> taken() {
    return List.copyOf(taken);
  }

  synchronized List<Double> values() {
    return taken.stream().map(Reading::value).toList();
  }

  synchronized List<List<Reading>> refused() {
    return List.copyOf(refused);
  }
}
