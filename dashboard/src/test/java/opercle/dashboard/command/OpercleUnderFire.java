// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;

/** Opercle as a process, which is killed and started again. */
final class OpercleUnderFire implements AutoCloseable {
  private final String command;
  private final String config;
  private OpercleProcess process;

  OpercleUnderFire(String command, String config) throws IOException {
    this.command = command;
    this.config = config;
    process = started(command, config);
  }

  void killed() throws Exception {
    kill();
    start();
  }

  void kill() throws InterruptedException {
    process.kill();
  }

  void start() throws IOException {
    process = started(command, config);
  }

  @Override
  public void close() {
    process.close();
  }

  private static OpercleProcess started(String command, String config) throws IOException {
    OpercleProcess opercle = OpercleProcess.start(command, "--config", config);
    opercle.awaitLine("Connected to the MQTT broker .* as opercle-" + command);
    return opercle;
  }
}
