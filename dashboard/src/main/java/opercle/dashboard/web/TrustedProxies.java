// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import jakarta.servlet.http.HttpServletRequest;
import java.net.Inet6Address;
import java.net.InetAddress;
import java.net.UnknownHostException;
import java.util.Arrays;
import java.util.Collection;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Pattern;
import org.eclipse.jetty.util.InetAddressSet;
import org.jspecify.annotations.Nullable;

/**
 * The proxies whose word counts about who asks and whether by https ({@code X-Forwarded-For} and
 * {@code X-Forwarded-Proto}); anybody else's is not read. For any thread.
 */
public final class TrustedProxies {

  /** Nobody's word counts. */
  public static final TrustedProxies NONE = new TrustedProxies(List.of());

  /** Nothing here may ask a name server. */
  private static final Pattern ADDRESS =
      Pattern.compile("\\d{1,3}(\\.\\d{1,3}){3}|[0-9A-Fa-f:]*:[0-9A-Fa-f:.]*");

  private static final Pattern RANGE = Pattern.compile("(" + ADDRESS.pattern() + ")(/\\d{1,3})?");

  private final InetAddressSet addresses = new InetAddressSet();
  private final boolean any;

  private TrustedProxies(Collection<String> ranges) {
    addresses.addAll(ranges);
    any = !ranges.isEmpty();
  }

  /**
   * These addresses, or ranges of them such as {@code 10.1.0.0/16}.
   *
   * @throws IllegalArgumentException if one is neither, which it names
   */
  public static TrustedProxies of(Collection<String> ranges) {
    for (String range : ranges) {
      if (!RANGE.matcher(range).matches() || !isTaken(range)) {
        throw new IllegalArgumentException(
            "\"%s\" must be an address such as 192.0.2.7, or a range such as 192.0.2.0/24"
                .formatted(range));
      }
    }
    return new TrustedProxies(ranges);
  }

  private static boolean isTaken(String range) {
    try {
      return new InetAddressSet().add(range);
    } catch (IllegalArgumentException e) {
      return false;
    }
  }

  /**
   * Who asks.
   *
   * @param address for an IPv6 address its first 64 bits, which is what one household or company
   *     has
   * @param isHttps whether nobody could listen in on the way from the browser
   */
  record Peer(String address, boolean isHttps) {}

  Peer peer(HttpServletRequest request) {
    String address = request.getRemoteAddr();
    if (!any || !isTrusted(address)) {
      return new Peer(network(address), request.isSecure());
    }
    boolean https =
        request.isSecure()
            || "https".equalsIgnoreCase(last(request.getHeader("X-Forwarded-Proto")));
    return new Peer(network(forwarded(request).orElse(address)), https);
  }

  /** The last who is not one of ours; what stands before it anybody may have written. */
  private Optional<String> forwarded(HttpServletRequest request) {
    List<String> path =
        Collections.list(request.getHeaders("X-Forwarded-For")).stream()
            .flatMap(header -> Arrays.stream(header.split(",", -1)))
            .map(String::strip)
            .toList();
    for (int i = path.size() - 1; i >= 0; i--) {
      if (!isTrusted(path.get(i))) {
        return Optional.of(path.get(i)).filter(text -> ADDRESS.matcher(text).matches());
      }
    }
    return Optional.empty();
  }

  private boolean isTrusted(String text) {
    return parsed(text).map(addresses::test).orElse(false);
  }

  private static Optional<InetAddress> parsed(String text) {
    String bare = text.replaceAll("^\\[|]$", "").replaceAll("%.*", "");
    if (!ADDRESS.matcher(bare).matches()) {
      return Optional.empty();
    }
    try {
      return Optional.of(InetAddress.getByName(bare));
    } catch (UnknownHostException e) {
      return Optional.empty();
    }
  }

  private static String network(String address) {
    Optional<InetAddress> parsed = parsed(address);
    if (parsed.isPresent() && parsed.get() instanceof Inet6Address six) {
      byte[] bytes = six.getAddress();
      StringBuilder network = new StringBuilder();
      for (int i = 0; i < 8; i += 2) {
        network.append(
            String.format(Locale.ROOT, "%x:", ((bytes[i] & 0xff) << 8) | (bytes[i + 1] & 0xff)));
      }
      return network + ":/64";
    }
    return address;
  }

  private static String last(@Nullable String header) {
    String text = header == null ? "" : header;
    return text.substring(text.lastIndexOf(',') + 1).strip();
  }
}
