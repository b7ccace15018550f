// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.net.Inet4Address;
import java.net.InetAddress;
import java.net.URI;
import java.net.UnknownHostException;
import java.util.Optional;
import java.util.regex.Pattern;

/**
 * Which addresses we are willing to call. An endpoint comes from a browser, that is, from anybody
 * who can reach the pages; without this they could make the server call machines of its own
 * network.
 *
 * <p>Checked when a subscription is taken and again before every message: a name may come to point
 * elsewhere. Between that look-up and the connection Java keeps the answer; and TLS ends what is
 * left, since a machine of the local network has no certificate for the other name.
 */
public final class EndpointRule {

  private static final int HTTPS = 443;
  private static final Pattern LITERAL = Pattern.compile("[0-9.]+|\\[.*]|.*:.*");

  private final boolean loopbackToo;

  private EndpointRule(boolean loopbackToo) {
    this.loopbackToo = loopbackToo;
  }

  /** Only push services of the public internet, by https. */
  public static EndpointRule publicOnly() {
    return new EndpointRule(false);
  }

  /** Also http on this machine, for tests with a push service of their own. */
  static EndpointRule loopbackToo() {
    return new EndpointRule(true);
  }

  /**
   * Why an endpoint must not be called; empty if it may be. Looks the name up, so it may wait for
   * the network.
   */
  public Optional<String> objection(URI endpoint) {
    String host = endpoint.getHost();
    if (host == null || endpoint.getRawUserInfo() != null || endpoint.getRawFragment() != null) {
      return Optional.of("the endpoint must be https:// with the name of a push service");
    }
    if (loopbackToo && isLoopback(endpoint)) {
      return Optional.empty();
    }
    boolean usualPort = endpoint.getPort() == -1 || endpoint.getPort() == HTTPS;
    if (!"https".equalsIgnoreCase(endpoint.getScheme()) || !usualPort) {
      return Optional.of("the endpoint must be https on its usual port");
    }
    if (LITERAL.matcher(host).matches()) {
      return Optional.of("the endpoint must name its push service, not give a number");
    }
    try {
      for (InetAddress address : InetAddress.getAllByName(host)) {
        if (!isPublic(address)) {
          return Optional.of(
              "the push service %s has an address that is not of the public internet"
                  .formatted(host));
        }
      }
      return Optional.empty();
    } catch (UnknownHostException e) {
      return Optional.of("the push service %s cannot be found".formatted(host));
    }
  }

  private static boolean isLoopback(URI endpoint) {
    return "http".equalsIgnoreCase(endpoint.getScheme())
        && ("127.0.0.1".equals(endpoint.getHost()) || "localhost".equals(endpoint.getHost()));
  }

  /** Address blocks as in the IANA registries of special-purpose addresses (RFC 6890). */
  static boolean isPublic(InetAddress address) {
    if (address.isLoopbackAddress()
        || address.isAnyLocalAddress()
        || address.isLinkLocalAddress()
        || address.isSiteLocalAddress()
        || address.isMulticastAddress()) {
      return false;
    }
    byte[] a = address.getAddress();
    int first = a[0] & 0xff;
    int second = a[1] & 0xff;
    if (address instanceof Inet4Address) {
      boolean carrier = first == 100 && (second & 0xc0) == 64; // 100.64.0.0/10
      boolean protocol = first == 192 && second == 0; // 192.0.0.0/24 and 192.0.2.0/24
      boolean benchmark = first == 198 && (second == 18 || second == 19 || second == 51);
      boolean example = first == 203 && second == 0;
      return first != 0 && first < 240 && !carrier && !protocol && !benchmark && !example;
    }
    boolean globalUnicast =
        (first & 0xe0) == 0x20; // 2000::/3; so neither fc00::/7 nor 64:ff9b::/96
    boolean special = first == 0x20 && second == 0x01 && (a[2] & 0xfe) == 0; // 2001::/23
    boolean example =
        first == 0x20 && second == 0x01 && (a[2] & 0xff) == 0x0d && (a[3] & 0xff) == 0xb8;
    boolean sixToFour = first == 0x20 && second == 0x02; // carries an IPv4 address inside
    return globalUnicast && !special && !example && !sixToFour;
  }
}
