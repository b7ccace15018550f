// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.net.InetAddress;
import java.net.UnknownHostException;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * Where the dashboard listens, and under which names it may be called.
 *
 * @param host address to listen on; while there are no users only the loopback address is of use,
 *     for every other lets nobody in
 * @param port TCP port, 0–65535; 0 takes any free one
 * @param names host names that browsers may use besides addresses, {@code localhost} and names that
 *     exist only in a local network (without a dot, or under {@code .local}, {@code .internal},
 *     {@code .home.arpa}); without port, upper and lower case alike
 * @param entrance who gets in
 */
public record DashboardSettings(String host, int port, Set<String> names, Entrance entrance) {

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

  /** Without users. */
  public DashboardSettings(String host, int port, Set<String> names) {
    this(host, port, names, Entrance.withoutLogIn());
  }

  /** {@code https} with a certificate, else {@code http}. */
  public String scheme() {
    return entrance.tls().isPresent() ? "https" : "http";
  }

  /** Whether nobody but this machine can call. */
  boolean isOnlyThisMachine() {
    return isLoopback(host);
  }

  /** Whether nobody but this machine can reach the address. */
  public static boolean isLoopback(String host) {
    try {
      return InetAddress.getByName(host).isLoopbackAddress();
    } catch (UnknownHostException e) {
      return false;
    }
  }

  /** On the loopback address. */
  public static DashboardSettings onLoopback(int port) {
    return new DashboardSettings(LOOPBACK, port, Set.of());
  }
}
