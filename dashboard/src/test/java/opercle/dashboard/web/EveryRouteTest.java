// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import opercle.dashboard.access.Role;
import opercle.dashboard.web.RouteRoles.Needs;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Every address that there is, as each role meets it. */
class EveryRouteTest {

  /** Servlets beside the router. */
  private static final Set<String> STREAMS = Set.of("GET /live", "GET /api/v1/live");

  private static final String LOG_OUT = "DELETE /api/v1/session";

  @TempDir Path folder;
  private GuardedFarm guarded;

  @BeforeEach
  void start() throws Exception {
    guarded = GuardedFarm.in(folder);
  }

  @AfterEach
  void stop() {
    guarded.close();
  }

  private Set<String> routes() {
    Set<String> routes = new TreeSet<>(guarded.server.routes());
    routes.addAll(STREAMS);
    Set<String> inOrder = new LinkedHashSet<>(routes);
    inOrder.remove(LOG_OUT);
    inOrder.add(LOG_OUT); // last, for it ends what the others come with
    return inOrder;
  }

  @Test
  void everyAddress_standsInTheTableOfRoles_andNoOther() {
    assertThat(RouteRoles.all()).hasSameElementsAs(routes());
    assertThat(routes()).hasSizeGreaterThan(85);
  }

  @Test
  void everyAddress_isAsItsRoleSays_forNobodyLookKeepAndManage() throws Exception {
    Map<Optional<Role>, String> who = new LinkedHashMap<>();
    who.put(Optional.empty(), "opercle-session=" + "A".repeat(43));
    for (Role role : Role.values()) {
      who.put(Optional.of(role), guarded.cookie("The one who may " + role.id(), role));
    }
    for (String route : routes()) {
      Needs needs = needs(route);
      for (Map.Entry<Optional<Role>, String> caller : who.entrySet()) {
        HttpResponse<String> answer = call(route, "Cookie", caller.getValue());
        String as = route + " as " + caller.getKey().map(Role::id).orElse("nobody");
        judge(as, route, needs, caller.getKey(), answer);
      }
    }
  }

  /** The evening check asks whoever keeps the fish to test the way to a person. */
  @Test
  void testOfAPersonsWays_isForWhoeverKeeps_andSettingThemUpForWhoeverManages() {
    assertThat(needs("POST /api/v1/people/{name}/test").role()).contains(Role.KEEP);
    assertThat(needs("PUT /api/v1/setup/people/{name}").role()).contains(Role.MANAGE);
    assertThat(needs("GET /api/v1/setup/people").role()).contains(Role.MANAGE);
  }

  @Test
  void everyAddress_isAsItsRoleSays_forTokensToo() throws Exception {
    guarded.cookie("Maren", Role.MANAGE);
    Map<Optional<Role>, String> who = new LinkedHashMap<>();
    who.put(Optional.empty(), "opercle_" + "A".repeat(43));
    for (Role role : Role.values()) {
      who.put(Optional.of(role), guarded.access.addToken("a program", role, "Maren").secret());
    }
    for (String route : routes()) {
      Needs needs = needs(route);
      for (Map.Entry<Optional<Role>, String> caller : who.entrySet()) {
        HttpResponse<String> answer = call(route, "Authorization", "Bearer " + caller.getValue());
        String as = route + " by token as " + caller.getKey().map(Role::id).orElse("nobody");
        judge(as, route, needs, caller.getKey(), answer);
      }
    }
  }

  @Test
  void withoutUsers_onThisMachine_nothingAsksForALogIn() throws Exception {
    for (String route : routes()) {
      // What makes users and tokens says with 409 that the first is made at the machine.
      if (!route.contains("session")) {
        assertThat(call(route, "X-Nothing", "x").statusCode()).as(route).isNotIn(303, 401, 403);
      }
    }
  }

  @Test
  void headOfAPage_isNotGivenToNobody() throws Exception {
    guarded.cookie("Maren", Role.MANAGE);

    for (String path : List.of("/", "/api/v1/tanks", "/api/v1/live", "/live", "/nowhere")) {
      assertThat(guarded.send("HEAD", path, "").statusCode()).as(path).isIn(303, 401);
    }
  }

  @Test
  void addressThatIsNotThere_orIsWrittenInAnotherWay_isNotGivenToNobody() throws Exception {
    guarded.cookie("Maren", Role.MANAGE);

    for (String path :
        List.of(
            "/nowhere",
            "//api/v1/tanks",
            "/api//v1/tanks",
            "/API/v1/tanks",
            "/api/v1/tanks/",
            "/api/v1/tanks;x=/login",
            "/assets/../api/v1/tanks",
            "/assets/%2e%2e/api/v1/tanks",
            "/login/../api/v1/tanks",
            "/have/../api/v1/tanks",
            "/%61pi/v1/tanks",
            "/login%2f..%2fapi/v1/tanks")) {
      HttpResponse<String> answer = guarded.send("GET", path, "");
      assertThat(answer.statusCode()).as(path).isIn(303, 400, 401, 404);
      assertThat(answer.body()).as(path).doesNotContain("waterLitres");
    }
  }

  private static Needs needs(String route) {
    String[] parts = route.split(" ", 2);
    return RouteRoles.of(parts[0], parts[1])
        .orElseThrow(() -> new AssertionError(route + " asks for no role, and not for none"));
  }

  private static void judge(
      String as, String route, Needs needs, Optional<Role> role, HttpResponse<String> answer) {
    int status = answer.statusCode();
    if (needs.role().isEmpty()) {
      // The way in answers 400 to a log-in without name and password.
      assertThat(status).as(as).isNotIn(303, 401, 403, 500);
    } else if (role.isEmpty()) {
      boolean program = Stream.of("/api/", "/metrics", "/live").anyMatch(route::contains);
      assertThat(status).as(as).isEqualTo(program ? 401 : 303);
      assertThat(answer.headers().firstValue("Location").isPresent()).as(as).isEqualTo(!program);
    } else if (role.get().covers(needs.role().get())) {
      assertThat(status).as(as).isNotIn(303, 401, 403, 500);
    } else {
      assertThat(status).as(as).isEqualTo(403);
    }
  }

  /** Empty forms: what may come in is told what is missing, and changes nothing. */
  private HttpResponse<String> call(String route, String header, String value) throws Exception {
    String[] parts = route.split(" ", 2);
    boolean stream = STREAMS.contains(route); // would not end
    String path =
        parts[1]
            .replace("{id}", "h2")
            .replace("{cause}", "gas-line-stopped")
            .replace("{name}", "Nobody")
            .replace("{token}", "no-token")
            .replace("{entry}", "no-entry")
            .replace("{file}", parts[1].startsWith("/charts") ? "uPlot.esm.js" : "base.css");
    String body = parts[0].equals("GET") ? "" : "{}";
    return guarded.send(stream ? "HEAD" : parts[0], path, body, header, value);
  }
}
