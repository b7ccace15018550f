// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.util.List;

/**
 * Remembers durably when the latest messages arrived, so that a reading timed by its arrival keeps
 * that time if its message is delivered again after a crash, and is not stored twice.
 *
 * <p>Written before the readings, it needs no transaction in common with them: a crash in between
 * leaves a time that the second delivery takes up again. One thread at a time.
 */
public interface ArrivalLog {

  /**
   * Adds arrivals, in the order in which the messages were delivered. They outlive this process
   * when this returns, and the machine once readings were taken after them.
   *
   * @throws StoreException if they could not be kept; recording them again is safe
   */
  void record(List<Arrival> arrivals);

  /**
   * The latest arrivals recorded, oldest first. At least as many as fit the broker's window of
   * unacknowledged messages are kept, older ones are forgotten.
   */
  List<Arrival> latest();
}
