// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.http.Context;
import io.javalin.router.Endpoint;
import jakarta.servlet.Filter;
import jakarta.servlet.FilterChain;
import jakarta.servlet.ServletException;
import jakarta.servlet.ServletRequest;
import jakarta.servlet.ServletResponse;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.Set;
import java.util.function.BooleanSupplier;
import opercle.dashboard.access.AccessDesk;
import opercle.dashboard.access.Identity;
import opercle.dashboard.access.Role;
import opercle.dashboard.web.RouteRoles.Needs;
import org.jspecify.annotations.Nullable;

/**
 * Lets in who may come in. Stands before every address, whoever answers there: without a log-in
 * only what {@link RouteRoles} leaves open goes on. What a role may do is then asked at the address
 * that the router found ({@link #requireRole}).
 *
 * <p>Where there is no user and only this machine can call, everybody may do everything. For any
 * thread; may wait for the disk.
 */
final class Gate implements Filter {

  private static final String BEARER = "Bearer ";
  private static final String STANDS = "opercle.stands";
  private static final Set<String> READING = Set.of("GET", "HEAD");

  private final AccessDesk access;
  private final TrustedProxies proxies;
  private final boolean onlyThisMachine;

  /**
   * @param onlyThisMachine whether nobody else can call
   */
  Gate(Entrance entrance, boolean onlyThisMachine) {
    this.access = entrance.access();
    this.proxies = entrance.proxies();
    this.onlyThisMachine = onlyThisMachine;
  }

  /** Whether nobody has to log in, because there are no users and nobody else can call. */
  boolean isFree() {
    return onlyThisMachine && !access.hasUsers();
  }

  @Override
  public void doFilter(ServletRequest request, ServletResponse response, FilterChain chain)
      throws IOException, ServletException {
    var req = (HttpServletRequest) request;
    var res = (HttpServletResponse) response;
    TrustedProxies.Peer peer = proxies.peer(req);
    if (peer.isHttps()) {
      res.setHeader("Strict-Transport-Security", "max-age=31536000");
    }
    boolean mayBeOpen = RouteRoles.mayBeOpen(req.getMethod(), req.getRequestURI());
    try {
      Optional<Identity> who = known(req, peer);
      if (who.isEmpty() && !mayBeOpen && !isFree()) {
        turnAway(req, res);
        return;
      }
    } catch (Problem problem) {
      RefusedPage.answer(req, res, problem);
      return;
    }
    chain.doFilter(request, response);
  }

  private Optional<Identity> known(HttpServletRequest request, TrustedProxies.Peer peer) {
    @Nullable String header = request.getHeader("Authorization");
    Optional<Identity> who;
    if (header != null && header.regionMatches(true, 0, BEARER, 0, BEARER.length())) {
      String secret = header.substring(BEARER.length()).strip();
      who = access.token(secret);
      request.setAttribute(STANDS, (BooleanSupplier) () -> access.token(secret).isPresent());
    } else {
      Optional<String> secret = SessionCookie.read(request, peer.isHttps());
      who = secret.flatMap(access::session);
      if (who.isPresent()) {
        requireOwnPage(request);
        String held = secret.get();
        request.setAttribute(STANDS, (BooleanSupplier) () -> access.session(held).isPresent());
      }
    }
    who.ifPresent(identity -> Who.put(request, identity));
    return who;
  }

  /**
   * A browser that changes something says from where, and {@link RequestGuard} has looked at it.
   * What says nothing and brings a browser's cookie is none that we know.
   */
  private static void requireOwnPage(HttpServletRequest request) {
    if (!READING.contains(request.getMethod())
        && request.getHeader("Origin") == null
        && request.getHeader("Sec-Fetch-Site") == null) {
      throw Problem.forbidden(
          "Only Opercle's own pages may change anything with a browser's log-in; programs need a token.");
    }
  }

  private static void turnAway(HttpServletRequest request, HttpServletResponse response)
      throws IOException {
    if (isPage(request)) {
      String query = request.getQueryString() == null ? "" : "?" + request.getQueryString();
      String next = request.getRequestURI() + query;
      response.setStatus(HttpServletResponse.SC_SEE_OTHER);
      response.setHeader("Cache-Control", "no-store");
      response.setHeader(
          "Location", "/login?next=" + URLEncoder.encode(next, StandardCharsets.UTF_8));
    } else {
      response.setHeader("WWW-Authenticate", "Bearer");
      response.setHeader("Cache-Control", "no-store");
      RefusedPage.answer(request, response, Problem.logInFirst("Log in first."));
    }
  }

  private static boolean isPage(HttpServletRequest request) {
    String path = request.getRequestURI();
    return READING.contains(request.getMethod())
        && !path.startsWith("/api/")
        && !path.equals("/metrics")
        && !path.equals("/live");
  }

  /** Asks whether whoever is logged in may have the address that was found. */
  void requireRole(Context ctx) {
    @Nullable Endpoint found = ctx.endpoints().matchedHttpEndpoint();
    if (found == null) {
      return; // there is nothing at this address
    }
    Optional<Needs> needs = RouteRoles.of(found.method.name(), found.path);
    if (needs.isPresent() && needs.get().role().isEmpty()) {
      return;
    }
    Optional<Identity> who = Who.of(ctx.req());
    if (who.isEmpty()) {
      if (isFree()) {
        return;
      }
      throw Problem.logInFirst("Log in first.");
    }
    Role asked = needs.flatMap(Needs::role).orElse(Role.MANAGE);
    if (needs.isEmpty() || !who.get().role().covers(asked)) {
      throw Problem.forbidden(
          "%s may %s here, and this needs somebody who may %s."
              .formatted(who.get().name(), who.get().role().id(), asked.id()));
    }
  }

  /** Whether the log-in of a request that goes on for long still holds. */
  static BooleanSupplier stands(HttpServletRequest request) {
    return request.getAttribute(STANDS) instanceof BooleanSupplier stands ? stands : () -> true;
  }

  /** From where a request comes. */
  TrustedProxies.Peer peer(HttpServletRequest request) {
    return proxies.peer(request);
  }
}
