// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.nio.file.Path;

/** With a real Mosquitto, which allows only twenty messages in flight towards itself. */
class MosquittoContractTest extends RestartContract {

  @Override
  TestBroker startBroker(Path folder) throws Exception {
    return LocalMosquitto.start(folder, LocalMosquitto.freePort(), "max_inflight_messages 20");
  }
}
