// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * Where the dashboard listens, and under which names it may be called.
 *
 * @param host address to listen on; the loopback address unless the keeper says otherwise, because
 *     the pages have no log-in of their own
 * @param port TCP port, 0–65535; 0 takes any free one
 * @param names host names that browsers may use besides addresses, {@code localhost} and names that
 *     exist only in a local network (without a dot, or under {@code .local}, {@code .internal},
 *     {@code .home.arpa}); without port, upper and lower case alike
 */
public record DashboardSettings(String host, int port, Set<String> names) {

  /** The address that only this machine can reach. */
  public static final String LOOPBACK = "127.0.0.1";

  public DashboardSettings {
    names =
        names.stream()
            .map(name -> name.toLowerCase(Locale.ROOT))
            .collect(Collectors.toUnmodifiableSet());
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
