// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Supplier;
import javax.net.ssl.SSLContext;

/**
 * How to run the embedded broker.
 *
 * @param folder for the journal; made if it is not there
 * @param host the address to listen on
 * @param port the TCP port, or 0 for any that is free
 * @param keptWhole the client ids whose sessions lose nothing: publishers wait for them
 * @param door who may use it, and what; empty: whoever reaches it, everything
 */
public record BrokerSettings(
    Path folder, String host, int port, Set<String> keptWhole, Optional<Door> door) {

  /**
   * Who may use the broker beside Opercle itself.
   *
   * @param clients who
   * @param passwords compares their passwords
   * @param tls gives the certificate that the broker shows them; empty: no encryption
   */
  public record Door(
      List<BrokerClient> clients, PasswordCheck passwords, Optional<Supplier<SSLContext>> tls) {}

  /** On this machine alone, for everybody on it. */
  public static BrokerSettings onLoopback(Path folder, int port) {
    return new BrokerSettings(folder, EmbeddedBroker.LOOPBACK, port, Set.of(), Optional.empty());
  }

  /** The same, with sessions that lose nothing. */
  public BrokerSettings keepingWhole(Set<String> clientIds) {
    return new BrokerSettings(folder, host, port, clientIds, door);
  }
}
