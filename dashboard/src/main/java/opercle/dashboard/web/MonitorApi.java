// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.IntSupplier;
import java.util.stream.Collectors;
import opercle.analysis.evening.EveningView.Trouble;
import opercle.analysis.farm.Tank;
import opercle.analysis.watch.TankState;

/** How the monitor itself is: {@code /api/v1/monitor}. For any thread. */
final class MonitorApi {

  private static final JsonNodeFactory NODES = JsonNodeFactory.instance;

  private final LiveFarm live;
  private final IntakeRate rate = new IntakeRate();

  MonitorApi(LiveFarm live) {
    this.live = live;
  }

  /**
   * @param listening how many live streams there are
   */
  void routes(RoutesConfig routes, IntSupplier listening) {
    routes.get("/api/v1/monitor", ctx -> Api.answer(ctx, answer(listening.getAsInt())));
  }

  /** Looks at what comes in; once a second suits. */
  void look() {
    live.monitor().intake().ifPresent(i -> rate.look(System.nanoTime(), i.readings()));
  }

  private ObjectNode answer(int listening) {
    MonitorState monitor = live.monitor();
    List<Trouble> troubles = live.troublesToMend();
    ObjectNode node = NODES.objectNode();
    node.put("time", live.now().toString());
    node.put("well", troubles.isEmpty());
    node.put("listening", listening);
    monitor.intake().ifPresent(intake -> node.set("intake", intake(intake)));
    monitor.broker().ifPresent(broker -> node.set("broker", part(broker)));
    monitor.store().ifPresent(store -> node.set("store", part(store)));
    monitor
        .disk()
        .ifPresent(
            disk ->
                node.putObject("disk")
                    .put("freeBytes", disk.freeBytes())
                    .put("totalBytes", disk.totalBytes()));
    ArrayNode told = node.putArray("troubles");
    troubles.forEach(t -> told.addObject().put("words", t.words()).put("action", t.action()));
    ArrayNode called = node.putArray("called");
    for (MonitorState.Called c : live.called()) {
      ObjectNode one = called.addObject().put("id", c.id()).put("words", c.words());
      c.by().ifPresent(by -> one.put("by", by));
    }
    node.set("tanks", tanks());
    node.set("notTaken", FarmJson.notTaken(live.notTaken()));
    return node;
  }

  private ObjectNode intake(MonitorState.Intake intake) {
    ObjectNode node = NODES.objectNode();
    node.put("messages", intake.messages());
    node.put("readings", intake.readings());
    node.put("dropped", intake.dropped());
    Json.put(node, "readingsPerMinute", rate.perMinute());
    node.put("behindSeconds", Json.rounded(seconds(intake.behind())));
    return node;
  }

  private static ObjectNode part(MonitorState.Part part) {
    ObjectNode node = NODES.objectNode().put("well", part.well());
    part.words().ifPresent(words -> node.put("words", words));
    return node;
  }

  /** How old each tank's newest reading is: what a slow probe or a slow way shows first. */
  private ArrayNode tanks() {
    Instant now = live.now();
    Map<String, TankState> states =
        live.states().stream()
            .collect(Collectors.toMap(TankState::tank, s -> s, (older, newer) -> newer));
    ArrayNode tanks = NODES.arrayNode();
    for (Tank tank : live.farm().tanks()) {
      ObjectNode t = tanks.addObject().put("tank", tank.id()).put("name", tank.name());
      Optional.ofNullable(states.get(tank.id()))
          .flatMap(TankState::newestReading)
          .ifPresent(
              newest ->
                  t.put("newestReading", newest.toString())
                      .put("ageSeconds", Json.rounded(seconds(Duration.between(newest, now)))));
    }
    return tanks;
  }

  private static double seconds(Duration duration) {
    return duration.toNanos() / 1e9;
  }
}
