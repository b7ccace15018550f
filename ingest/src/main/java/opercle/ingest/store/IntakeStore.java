// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

/** A store at the front door: it takes readings, and remembers when messages arrived. */
public interface IntakeStore extends ReadingStore {

  /**
   * The arrivals log beside the readings, which keeps at least the latest {@code window} arrivals.
   *
   * @param window as many messages as the broker may send before one is acknowledged
   */
  ArrivalLog arrivals(int window);

  /**
   * What of it is on this machine's disk, to read without waiting for any network. It is closed
   * with this.
   */
  ReadingStore onThisMachine();
}
