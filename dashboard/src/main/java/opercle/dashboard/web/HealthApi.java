// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.util.Optional;

/**
 * Two questions that a service manager or a proxy asks: {@code /health/live}, whether this process
 * answers at all (else: start it again), and {@code /health/ready}, whether it does its work (else:
 * leave it alone and tell somebody). 200 for yes and 503 for no, with JSON that names the parts and
 * nothing that a stranger should not know. For any thread.
 *
 * <p>A tank in trouble is not ill health: that is what the monitor is for.
 */
final class HealthApi {

  private final LiveFarm live;

  HealthApi(LiveFarm live) {
    this.live = live;
  }

  void routes(RoutesConfig routes) {
    routes.get("/health/live", ctx -> answer(ctx, true, node(true)));
    routes.get("/health/ready", this::ready);
  }

  private void ready(Context ctx) {
    MonitorState monitor = live.monitor();
    boolean ready = isWell(monitor.broker()) && isWell(monitor.store());
    ObjectNode node = node(ready);
    put(node, "broker", monitor.broker());
    put(node, "store", monitor.store());
    answer(ctx, ready, node);
  }

  /** What this process does not use cannot be ill. */
  private static boolean isWell(Optional<MonitorState.Part> part) {
    return part.map(MonitorState.Part::well).orElse(true);
  }

  private static void put(ObjectNode node, String name, Optional<MonitorState.Part> part) {
    part.ifPresent(p -> node.put(name, word(p.well())));
  }

  private static ObjectNode node(boolean well) {
    return JsonNodeFactory.instance.objectNode().put("status", word(well));
  }

  private static String word(boolean well) {
    return well ? "up" : "down";
  }

  private static void answer(Context ctx, boolean well, ObjectNode node) {
    Api.answer(ctx.status(well ? 200 : 503), node);
  }
}
