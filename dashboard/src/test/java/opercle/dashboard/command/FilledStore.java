// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.store.SqliteReadings;

/** Made-up readings of {@link ManyTanks}, in the amounts that a farm has. */
final class FilledStore {

  /** What a tank's page draws. */
  static final List<Quantity> TRACES =
      List.of(Quantity.OXYGEN, Quantity.TEMPERATURE, Quantity.GAS_FLOW);

  private static final int BATCH = 3600;

  private FilledStore() {}

  /** The three traces of h1 up to an instant, a reading of each at every step. */
  static void traces(SqliteReadings store, Instant end, Duration span, Duration step) {
    for (Quantity quantity : TRACES) {
      fill(store, "h1", quantity, end, span, step);
    }
  }

  /** The oxygen of the last hour of h1 to hN, a reading every ten seconds. */
  static void lastHours(SqliteReadings store, Instant end, int tanks) {
    for (int n = 1; n <= tanks; n++) {
      fill(store, "h" + n, Quantity.OXYGEN, end, Duration.ofHours(1), Duration.ofSeconds(10));
    }
  }

  private static void fill(
      SqliteReadings store,
      String tank,
      Quantity quantity,
      Instant end,
      Duration span,
      Duration step) {
    List<Reading> batch = new ArrayList<>(BATCH);
    for (Instant t = end.minus(span); t.isBefore(end); t = t.plus(step)) {
      batch.add(new Reading(tank, quantity, "1", t, 8.0 + Math.sin((double) t.getEpochSecond())));
      if (batch.size() == BATCH) {
        store.accept(batch);
        batch = new ArrayList<>(BATCH);
      }
    }
    store.accept(batch);
  }
}
