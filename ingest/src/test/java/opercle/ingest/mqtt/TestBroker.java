// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.io.IOException;
import java.net.URI;

/** A broker that tests may treat badly. */
public interface TestBroker extends AutoCloseable {

  /** Where clients find it; the same after a restart. */
  URI uri();

  /** Kills it outright, without a farewell. */
  void kill() throws InterruptedException;

  /** Starts it again where it was, with whatever it has kept. */
  void restart() throws IOException, InterruptedException;

  @Override
  void close();
}
