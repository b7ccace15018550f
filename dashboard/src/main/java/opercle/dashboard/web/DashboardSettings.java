// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.Set;

/**
 * Where the dashboard listens, and under which names it may be called.
 *
 * @param host address to listen on; the loopback address unless the keeper says otherwise, because
 *     the pages have no log-in of their own
 * @param port TCP port, 0–65535; 0 takes any free one
 * @param names host names that browsers may use besides addresses, {@code localhost} and names that
 *     exist only in a local network (see {@link RequestGuard}); lower case, without port
 */
public record DashboardSettings(String host, int port, Set<String> names) {

  /** The address that only this machine can reach. */
  public static final String LOOPBACK = "127.0.0.1";

  public DashboardSettings {
    names = Set.copyOf(names);
    if (host.isBlank()) {
      throw new IllegalArgumentException("dashboard host must not be blank");
    }
    if (port < 0 || port > 65_535) {
      throw new IllegalArgumentException("dashboard port must be 0–65535 but was " + port);
    }
  }

  /** On the loopback address. */
  public static DashboardSettings onLoopback(int port) {
    return new DashboardSettings(LOOPBACK, port, Set.of());
  }
}
