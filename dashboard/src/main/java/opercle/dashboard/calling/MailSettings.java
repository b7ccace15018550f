// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.util.Optional;

/**
 * The mail server that takes our mail.
 *
 * @param host its name
 * @param port its port
 * @param security how the way to it is kept private
 * @param user where it wants one
 * @param password where it wants one; never logged
 * @param from the sender's address
 */
public record MailSettings(
    String host,
    int port,
    Security security,
    Optional<String> user,
    Optional<String> password,
    String from) {

  /** How the way to the mail server is kept private. */
  public enum Security {
    /** Begins in the clear, and goes on under TLS or not at all. */
    STARTTLS,
    /** TLS from the first byte. */
    TLS,
    /** In the clear: for a server on this machine alone. */
    NONE
  }

  @Override
  public String toString() {
    return "%s:%d (%s) as %s".formatted(host, port, security, user.orElse("nobody"));
  }
}
