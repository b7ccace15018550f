// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import jakarta.servlet.http.Cookie;
import jakarta.servlet.http.HttpServletRequest;
import java.time.Duration;
import java.util.Optional;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * The cookie that holds a session's secret. Over https its name begins with {@code __Host-}, which
 * a browser takes from this very host alone, and only when it is {@code Secure} (RFC 6265bis
 * section 4.1.3.2); so that nobody on the way can plant one.
 */
final class SessionCookie {

  private static final String PLAIN = "opercle-session";
  private static final String SECURE = "__Host-opercle-session";
  private static final Pattern SECRET = Pattern.compile("[A-Za-z0-9_-]{43}");

  private SessionCookie() {}

  static Optional<String> read(HttpServletRequest request, boolean https) {
    Cookie @Nullable [] cookies = request.getCookies();
    if (cookies == null) {
      return Optional.empty();
    }
    String name = https ? SECURE : PLAIN;
    for (Cookie cookie : cookies) {
      if (cookie.getName().equals(name) && SECRET.matcher(cookie.getValue()).matches()) {
        return Optional.of(cookie.getValue());
      }
    }
    return Optional.empty();
  }

  /** The header that gives the browser a session. */
  static String given(String secret, boolean https, Duration most) {
    return header(secret, https, most.toSeconds());
  }

  /** The header that takes it away. */
  static String taken(boolean https) {
    return header("", https, 0);
  }

  private static String header(String value, boolean https, long seconds) {
    return "%s=%s; Path=/; Max-Age=%d; HttpOnly; SameSite=Strict%s"
        .formatted(https ? SECURE : PLAIN, value, seconds, https ? "; Secure" : "");
  }
}
