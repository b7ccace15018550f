// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.nio.file.Path;
import java.util.Optional;

/**
 * A database of a PostgreSQL server, for one farm's book.
 *
 * @param host its name or address
 * @param port its port
 * @param database which of its databases
 * @param user who we are there
 * @param password where it wants one
 * @param tls whether the way there is encrypted, and the server's certificate checked
 * @param caFile certificates to trust in place of the system's, PEM
 */
public record BookServer(
    String host,
    int port,
    String database,
    String user,
    Optional<String> password,
    boolean tls,
    Optional<Path> caFile) {

  /** The port where nobody says another. */
  public static final int USUAL_PORT = 5432;

  /** The address, without user and password. */
  @Override
  public String toString() {
    return "postgresql://%s:%s/%s".formatted(host, String.valueOf(port), database);
  }
}
