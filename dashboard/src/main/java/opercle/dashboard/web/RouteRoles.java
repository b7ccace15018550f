// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import opercle.dashboard.access.Role;
import org.jspecify.annotations.Nullable;

/**
 * What every address asks of whoever calls it, once there are users. One that is not in this table
 * is refused to everybody. For any thread.
 */
final class RouteRoles {

  /**
   * Reached without a log-in: the way in; the files of the jar, which are the same at every farm;
   * whether the process lives; and the links in messages, which carry a signature of their own.
   */
  private static final String OPEN =
      """
      GET    /login
      GET    /offline
      GET    /assets/{file}
      GET    /charts/{file}
      GET    /sw.js
      GET    /opercle.webmanifest
      GET    /health/live
      GET    /health/ready
      GET    /have/{token}
      POST   /have/{token}
      GET    /have/monitor/{token}
      POST   /have/monitor/{token}
      GET    /api/v1/session
      POST   /api/v1/session
      DELETE /api/v1/session
      """;

  private static final String LOOK =
      """
      GET    /
      GET    /tank/{id}
      GET    /evening
      GET    /holding
      GET    /plan
      GET    /alarms
      GET    /alarms/figures
      GET    /not-taken
      GET    /monitor
      GET    /setup
      GET    /device
      GET    /cab
      GET    /records
      GET    /records/register
      GET    /trips
      GET    /trips/{id}
      GET    /trips/{id}/report
      GET    /live
      GET    /metrics
      GET    /api/v1/live
      GET    /api/v1/tanks
      GET    /api/v1/last-hour
      GET    /api/v1/not-taken
      GET    /api/v1/evening
      GET    /api/v1/monitor
      GET    /api/v1/openapi.json
      GET    /api/v1/tanks/{id}/trace
      GET    /api/v1/tanks/{id}/readings.csv
      GET    /api/v1/tanks/{id}/readings.senml
      GET    /api/v1/tanks/{id}/alarms
      GET    /api/v1/tanks/{id}/events
      GET    /api/v1/holding
      GET    /api/v1/tanks/{id}/holding
      GET    /api/v1/tanks/{id}/salt
      GET    /api/v1/tanks/{id}/water-change
      GET    /api/v1/tanks/{id}/top-up
      GET    /api/v1/alarms
      GET    /api/v1/alarms/guide
      GET    /api/v1/alarms/figures
      GET    /api/v1/plan
      POST   /api/v1/plan
      GET    /api/v1/records
      GET    /api/v1/records/movements
      GET    /api/v1/records/trace
      GET    /api/v1/records/register.csv
      GET    /api/v1/records/given.csv
      POST   /api/v1/records/check
      GET    /api/v1/trips
      GET    /api/v1/trips/rates
      GET    /api/v1/trips/{id}
      GET    /api/v1/trips/{id}/picture.svg
      GET    /api/v1/trips/{id}/report.pdf
      GET    /api/v1/trips/{id}/trip.json
      GET    /api/v1/trips/{id}/readings.csv
      GET    /api/v1/trips/{id}/checks/{entry}/photo
      GET    /api/v1/tanks/{id}/done/{entry}/photo
      GET    /api/v1/setup
      GET    /api/v1/setup/farm.yaml
      GET    /api/v1/calls
      GET    /api/v1/people
      GET    /api/v1/push/key
      PUT    /api/v1/session/password
      """;

  private static final String KEEP =
      """
      POST   /api/v1/tanks/{id}/alarms/{cause}/acknowledge
      POST   /api/v1/tanks/{id}/alarms/{cause}/silence
      POST   /api/v1/tanks/{id}/alarms/{cause}/reset
      POST   /api/v1/tanks/{id}/alarms/{cause}/shelve
      POST   /api/v1/tanks/{id}/alarms/{cause}/unshelve
      POST   /api/v1/tanks/{id}/alarms/{cause}/verdict
      POST   /api/v1/tanks/{id}/out-of-service
      POST   /api/v1/tanks/{id}/return-to-service
      POST   /api/v1/tanks/{id}/events
      POST   /api/v1/tanks/{id}/fish
      POST   /api/v1/tanks/{id}/work
      POST   /api/v1/monitor/troubles/{id}/have
      POST   /api/v1/records/entries
      POST   /api/v1/trips
      POST   /api/v1/trips/import
      POST   /api/v1/trips/{id}/checks
      POST   /api/v1/trips/{id}/unloading
      POST   /api/v1/trips/{id}/withdrawal
      POST   /api/v1/trips/{id}/corrections
      POST   /api/v1/trips/{id}/tank-load
      POST   /api/v1/trips/{id}/checks/{entry}/photo
      POST   /api/v1/tanks/{id}/done/{entry}/photo
      PUT    /api/v1/people/{name}/driving
      POST   /api/v1/people/{name}/test
      POST   /api/v1/push/subscriptions
      DELETE /api/v1/push/subscriptions
      POST   /api/v1/push/test
      """;

  private static final String MANAGE =
      """
      GET    /users
      GET    /api/v1/users
      POST   /api/v1/users
      DELETE /api/v1/users/{name}
      PUT    /api/v1/users/{name}/role
      PUT    /api/v1/users/{name}/password
      GET    /api/v1/tokens
      POST   /api/v1/tokens
      DELETE /api/v1/tokens/{id}
      POST   /api/v1/setup/check
      POST   /api/v1/setup/farm
      PUT    /api/v1/setup/tanks/{id}
      POST   /api/v1/setup/tanks/{id}/remove
      POST   /api/v1/setup/topics
      POST   /api/v1/setup/topics/take-back
      GET    /api/v1/setup/people
      GET    /api/v1/setup/people.yaml
      PUT    /api/v1/setup/people/{name}
      POST   /api/v1/setup/people/{name}/remove
      """;

  private static final Pattern SPACES = Pattern.compile("\\s+");

  private static final RouteRoles ALL = new RouteRoles();

  /** What an address asks: nothing, or a role. */
  record Needs(Optional<Role> role) {

    static final Needs NOTHING = new Needs(Optional.empty());

    static Needs of(Role role) {
      return new Needs(Optional.of(role));
    }
  }

  private final Map<String, Needs> needs = new HashMap<>();
  private final Pattern open;

  private RouteRoles() {
    put(OPEN, Needs.NOTHING);
    put(LOOK, Needs.of(Role.LOOK));
    put(KEEP, Needs.of(Role.KEEP));
    put(MANAGE, Needs.of(Role.MANAGE));
    open =
        Pattern.compile(
            String.join(
                "|",
                OPEN.lines()
                    .map(line -> Pattern.quote(SPACES.matcher(line).replaceAll(" ")))
                    .map(line -> line.replaceAll("\\{[a-z]+}", "\\\\E[^/]+\\\\Q"))
                    .toList()));
  }

  private void put(String lines, Needs what) {
    lines
        .lines()
        .map(line -> SPACES.matcher(line).replaceAll(" "))
        .forEach(
            route -> {
              if (needs.put(route, what) != null) {
                throw new IllegalStateException(route + " stands twice in the table of roles");
              }
            });
  }

  /**
   * What the address asks; empty if nobody has said.
   *
   * @param path as it is routed, with its parameters' names in braces
   */
  static Optional<Needs> of(String method, String path) {
    @Nullable Needs needs = ALL.needs.get(method + " " + path);
    return Optional.ofNullable(needs);
  }

  /**
   * Whether the address as it was called can be one that asks nothing; the router has the last
   * word.
   */
  static boolean mayBeOpen(String method, String path) {
    String read = method.equals("HEAD") ? "GET" : method;
    return ALL.open.matcher(read + " " + path).matches();
  }

  /** Every address of the table, as method and path. */
  static Set<String> all() {
    return Set.copyOf(ALL.needs.keySet());
  }
}
