// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import jakarta.servlet.Filter;
import jakarta.servlet.FilterChain;
import jakarta.servlet.ServletException;
import jakarta.servlet.ServletRequest;
import jakarta.servlet.ServletResponse;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.net.URLDecoder;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Stands before every address of the dashboard: sets the headers that keep a browser strict, and
 * turns away requests that a foreign page made a browser send.
 *
 * <p>Two such requests matter. A form or script on another site that posts to us is known by its
 * {@code Origin}. A name of another site made to point at this machine ("DNS rebinding") has the
 * right origin but the wrong {@code Host}: we answer to addresses, to {@code localhost}, to names
 * that cannot exist outside a local network (without a dot, or under {@code .local}, {@code
 * .internal}, {@code .home.arpa}: RFC 6762, RFC 8375), and to the names in the settings.
 */
final class RequestGuard implements Filter {

  private static final String CONTENT_SECURITY =
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self';"
          + " worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

  private static final Pattern PORT = Pattern.compile(":\\d{1,5}$");
  private static final Pattern IPV4 = Pattern.compile("\\d{1,3}(\\.\\d{1,3}){3}");
  private static final Pattern LOCAL_NAME =
      Pattern.compile("[a-z0-9-]+|([a-z0-9-]+\\.)+(local|localhost|internal|home\\.arpa)");
  private static final Pattern CHARSET =
      Pattern.compile("charset\\s*=\\s*\"?([^\";\\s]*)", Pattern.CASE_INSENSITIVE);
  private static final String JSON = "application/json";
  private static final Set<String> READING = Set.of("GET", "HEAD");

  private final Set<String> names;

  RequestGuard(Set<String> names) {
    this.names = names;
  }

  @Override
  public void doFilter(ServletRequest request, ServletResponse response, FilterChain chain)
      throws IOException, ServletException {
    var req = (HttpServletRequest) request;
    var res = (HttpServletResponse) response;
    res.setHeader("Content-Security-Policy", CONTENT_SECURITY);
    res.setHeader("X-Content-Type-Options", "nosniff");
    res.setHeader("X-Frame-Options", "DENY");
    res.setHeader("Referrer-Policy", "no-referrer");
    res.setHeader("Cross-Origin-Opener-Policy", "same-origin");
    res.setHeader("Cross-Origin-Resource-Policy", "same-origin");
    res.setHeader("Permissions-Policy", "camera=(), geolocation=(), microphone=()");
    try {
      check(req);
    } catch (Problem problem) {
      RefusedPage.answer(req, res, problem);
      return;
    }
    chain.doFilter(request, response);
  }

  private void check(HttpServletRequest request) {
    String host = request.getHeader("Host");
    if (host == null || !isOurs(host)) {
      throw Problem.misdirected(
          "This server does not answer to the host name it was called by. Use its address, or add"
              + " the name to the dashboard's settings.");
    }
    // Of no use here, and the router fails at one that is written wrongly.
    if (request.getRequestURI().indexOf(';') >= 0) {
      throw Problem.badRequest("The address must not hold a semicolon.");
    }
    // The server library leaves out a parameter that it cannot read, and another question is
    // answered.
    if (!isDecodable(request.getQueryString())) {
      throw Problem.badRequest("The address holds a % that stands for no letter.");
    }
    // Not asked of the server library, which fails at a character set that it does not know.
    @Nullable String type = request.getHeader("Content-Type");
    if (type != null && !isUtf8(type)) {
      throw Problem.wrongType("The body must be in UTF-8.");
    }
    if (!READING.contains(request.getMethod())) {
      if (isForeign(request, host)) {
        throw Problem.forbidden(
            "Only Opercle's own pages may change anything; this came from another site.");
      }
      requirePlainJson(request, type);
    }
  }

  /**
   * What a form of another site can send without asking first is never JSON (Fetch standard,
   * section 2.2.2); and nothing is unpacked, so that little cannot become much. The page of a link
   * in a message is a form without scripts, and its address is a secret.
   */
  private static void requirePlainJson(HttpServletRequest request, @Nullable String type) {
    boolean isJson =
        type == null || type.toLowerCase(Locale.ROOT).replaceAll(";.*", "").strip().equals(JSON);
    if (!isJson && !request.getRequestURI().startsWith("/have/")) {
      throw Problem.wrongType("Content-Type must be application/json.");
    }
    @Nullable String packed = request.getHeader("Content-Encoding");
    if (packed != null && !packed.equalsIgnoreCase("identity")) {
      throw Problem.wrongType("The body must not be compressed.");
    }
  }

  /** Whether each percent sign of a query begins a byte of UTF-8 (RFC 3986, section 2.5). */
  private static boolean isDecodable(@Nullable String query) {
    if (query == null || query.indexOf('%') < 0) {
      return true;
    }
    try {
      String text = URLDecoder.decode(query, StandardCharsets.UTF_8);
      return text.indexOf('\ufffd') < 0 || query.toUpperCase(Locale.ROOT).contains("%EF%BF%BD");
    } catch (IllegalArgumentException e) {
      return false;
    }
  }

  private static boolean isUtf8(String type) {
    Matcher charset = CHARSET.matcher(type);
    return !charset.find() || charset.group(1).equalsIgnoreCase("utf-8");
  }

  private boolean isOurs(String hostHeader) {
    String host = PORT.matcher(hostHeader.toLowerCase(Locale.ROOT)).replaceFirst("");
    return host.startsWith("[") // an IPv6 address
        || IPV4.matcher(host).matches()
        || LOCAL_NAME.matcher(host).matches()
        || names.contains(host);
  }

  /**
   * A browser sends {@code Origin} with everything that is not a plain look; what sends none is a
   * program of the keeper's own. The scheme is not compared: a proxy may have taken TLS off.
   */
  private static boolean isForeign(HttpServletRequest request, String host) {
    @Nullable String origin = request.getHeader("Origin");
    @Nullable String site = request.getHeader("Sec-Fetch-Site");
    if (site != null && !site.equals("same-origin")) {
      return true;
    }
    return origin != null
        && !origin.equalsIgnoreCase("http://" + host)
        && !origin.equalsIgnoreCase("https://" + host);
  }
}
