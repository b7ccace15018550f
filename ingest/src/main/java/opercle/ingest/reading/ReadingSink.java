// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.reading;

import java.util.List;

/**
 * Somewhere that readings go: the store, the watch.
 *
 * <p>Called from one thread at a time. When {@link #accept} returns, the sink has taken
 * responsibility for the batch: a store has made it durable. The message that brought the readings
 * is acknowledged to the broker only after every sink has returned.
 */
@FunctionalInterface
public interface ReadingSink {

  /**
   * Takes a batch of readings, in order of arrival; may hold duplicates and readings out of time
   * order.
   *
   * @throws RuntimeException if the batch could not be taken; it will then be offered again
   */
  void accept(List<Reading> batch);
}
