// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.util.Optional;
import opercle.analysis.book.BookException;
import opercle.dashboard.access.AccessDesk;
import opercle.dashboard.access.ApiToken;
import opercle.dashboard.access.Identity;
import opercle.dashboard.access.LogIn;
import opercle.dashboard.access.RefusedAccessException;
import opercle.dashboard.access.Role;
import opercle.dashboard.access.User;
import opercle.dashboard.web.TrustedProxies.Peer;

/** Logging in and out, users and tokens. For any thread. */
final class AccessApi {

  private static final String LATER = "Retry-After";

  private final AccessDesk access;
  private final Gate gate;

  AccessApi(AccessDesk access, Gate gate) {
    this.access = access;
    this.gate = gate;
  }

  void routes(RoutesConfig routes) {
    routes.get("/api/v1/session", this::session);
    routes.post("/api/v1/session", this::logIn);
    routes.delete("/api/v1/session", this::logOut);
    routes.put("/api/v1/session/password", ctx -> changing(() -> setOwnPassword(ctx)));
    routes.get("/api/v1/users", ctx -> Api.answer(ctx, users()));
    routes.post("/api/v1/users", ctx -> changing(() -> addUser(ctx)));
    routes.delete("/api/v1/users/{name}", ctx -> changing(() -> removeUser(ctx)));
    routes.put("/api/v1/users/{name}/role", ctx -> changing(() -> setRole(ctx)));
    routes.put("/api/v1/users/{name}/password", ctx -> changing(() -> setPassword(ctx)));
    routes.get("/api/v1/tokens", ctx -> Api.answer(ctx, tokens()));
    routes.post("/api/v1/tokens", ctx -> changing(() -> addToken(ctx)));
    routes.delete("/api/v1/tokens/{id}", ctx -> changing(() -> revokeToken(ctx)));
  }

  private void session(Context ctx) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    Optional<Identity> who = Who.of(ctx.req());
    node.put("logInNeeded", who.isPresent() || !gate.isFree());
    who.ifPresent(identity -> put(node, identity));
    Api.answer(ctx, node);
  }

  private void logIn(Context ctx) {
    JsonNode body = Api.body(ctx);
    String name = text(body, "name");
    String password = text(body, "password");
    if (gate.isFree()) {
      throw Problem.conflict("Nobody has to log in here: there are no users.");
    }
    Peer peer = gate.peer(ctx.req());
    LogIn.Done done =
        tried(ctx, name, password, peer)
            .orElseThrow(() -> Problem.logInFirst("That name and password do not go together."));
    // Whatever session the browser came with is done with; it is never the one that goes on.
    SessionCookie.read(ctx.req(), peer.isHttps()).ifPresent(this::end);
    give(ctx, done, peer);
    ObjectNode node = JsonNodeFactory.instance.objectNode().put("logInNeeded", true);
    put(node, done.who());
    Api.answer(ctx, node);
  }

  /** Empty if name and password do not go together. */
  private Optional<LogIn.Done> tried(Context ctx, String name, String password, Peer peer) {
    LogIn became;
    try {
      became = access.logIn(name, password, peer.address());
    } catch (BookException e) {
      throw Problem.unreached(
          "Nobody can log in now: the farm book takes nothing. Look at the tanks themselves.");
    }
    if (became instanceof LogIn.Later later) {
      long seconds = Math.max(1, later.delay().plusMillis(999).toSeconds());
      ctx.header(LATER, Long.toString(seconds));
      throw Problem.tooMany(
          "Too many tries were wrong. Wait %d s, then try again.".formatted(seconds));
    }
    return became instanceof LogIn.Done done ? Optional.of(done) : Optional.empty();
  }

  private void give(Context ctx, LogIn.Done done, Peer peer) {
    ctx.header("Set-Cookie", SessionCookie.given(done.secret(), peer.isHttps(), access.longest()));
  }

  /** Ends all sessions of that user but the one that it is done in, which gets another secret. */
  private void setOwnPassword(Context ctx) {
    JsonNode body = Api.body(ctx);
    String old = text(body, "old");
    String password = text(body, "password");
    String name =
        Who.of(ctx.req())
            .filter(who -> !who.isProgram())
            .map(Identity::name)
            .orElseThrow(() -> Problem.conflict("Only who is logged in has a password."));
    Peer peer = gate.peer(ctx.req());
    LogIn.Done known =
        tried(ctx, name, old, peer)
            .orElseThrow(() -> Problem.conflict("That is not your present password."));
    end(known.secret());
    access.setPassword(name, password);
    try {
      tried(ctx, name, password, peer).ifPresent(done -> give(ctx, done, peer));
    } catch (Problem later) {
      // It is changed; they have to log in again.
    }
    ctx.header("Cache-Control", "no-store").status(204);
  }

  private void logOut(Context ctx) {
    Peer peer = gate.peer(ctx.req());
    SessionCookie.read(ctx.req(), peer.isHttps()).ifPresent(this::end);
    ctx.header("Set-Cookie", SessionCookie.taken(peer.isHttps()))
        .header("Cache-Control", "no-store")
        .status(204);
  }

  private void end(String secret) {
    try {
      access.logOut(secret);
    } catch (BookException e) {
      throw Problem.unreached(
          "The log-out could not be kept: the farm book takes nothing. Try again later.");
    }
  }

  private ObjectNode users() {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    ArrayNode users = node.putArray("users");
    for (User user : access.users()) {
      users
          .addObject()
          .put("name", user.name())
          .put("role", user.role().id())
          .put("since", user.since().toString());
    }
    return node;
  }

  private ObjectNode tokens() {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    ArrayNode tokens = node.putArray("tokens");
    access.tokens().forEach(token -> put(tokens.addObject(), token));
    return node;
  }

  private void addUser(Context ctx) {
    JsonNode body = Api.body(ctx);
    String name = text(body, "name");
    Role role = role(body);
    String password = text(body, "password");
    requireUsers();
    access.add(name, role, password);
    ctx.status(204);
  }

  private void removeUser(Context ctx) {
    access.remove(ctx.pathParam("name"), false);
    ctx.status(204);
  }

  private void setRole(Context ctx) {
    access.setRole(ctx.pathParam("name"), role(Api.body(ctx)), false);
    ctx.status(204);
  }

  private void setPassword(Context ctx) {
    access.setPassword(ctx.pathParam("name"), text(Api.body(ctx), "password"));
    ctx.status(204);
  }

  private void addToken(Context ctx) {
    JsonNode body = Api.body(ctx);
    String name = text(body, "name");
    Role role = role(body);
    requireUsers();
    ApiToken.Made made = access.addToken(name, role, Who.name(ctx).orElse("command line"));
    ObjectNode node = JsonNodeFactory.instance.objectNode().put("secret", made.secret());
    put(node, made.token());
    Api.answer(ctx.status(201), node);
  }

  private void revokeToken(Context ctx) {
    access.revokeToken(ctx.pathParam("id"));
    ctx.status(204);
  }

  /** Whoever makes the first user has to be at the machine itself, not only reach its pages. */
  private void requireUsers() {
    if (!access.hasUsers()) {
      throw Problem.conflict(
          "The first user is made at the machine itself: opercle user add NAME --role manage"
              + " --config opercle.yaml.");
    }
  }

  private static void changing(Runnable change) {
    try {
      change.run();
    } catch (RefusedAccessException e) {
      throw Problem.conflict(String.valueOf(e.getMessage()));
    }
  }

  private static void put(ObjectNode node, Identity who) {
    node.put("name", who.name()).put("role", who.role().id()).put("isProgram", who.isProgram());
  }

  private static void put(ObjectNode node, ApiToken token) {
    node.put("id", token.id())
        .put("name", token.name())
        .put("role", token.role().id())
        .put("madeBy", token.madeBy())
        .put("since", token.since().toString());
    token.used().ifPresent(used -> node.put("used", used.toString()));
  }

  private static String text(JsonNode body, String field) {
    JsonNode value = body.path(field);
    if (!value.isTextual()) {
      throw Problem.misread("'%s' must be text.".formatted(field));
    }
    return value.textValue();
  }

  private static Role role(JsonNode body) {
    return Role.of(body.path("role").asText(""))
        .orElseThrow(() -> Problem.misread("'role' must be one of %s.".formatted(Role.ids())));
  }
}
