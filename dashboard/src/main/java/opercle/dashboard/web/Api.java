// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import opercle.analysis.farm.Tank;

/**
 * The addresses under {@code /api/v1} that are read: the farm, past readings, the evening check,
 * and the load plan. What people do is at those of {@link ActsApi}. Errors are {@link Problem}s.
 * For any thread.
 */
final class Api {

  private static final int LARGEST_BODY = 4096;

  private final LiveFarm live;
  private final TraceJson traces;
  private final TraceExport export;

  Api(LiveFarm live, Traces traces) {
    this.live = live;
    this.traces = new TraceJson(live, traces);
    this.export = new TraceExport(live, traces);
  }

  void routes(RoutesConfig routes) {
    routes.get("/api/v1/tanks", ctx -> answer(ctx, FarmJson.everything(live)));
    routes.get("/api/v1/last-hour", ctx -> answer(ctx, traces.lastHour()));
    routes.get("/api/v1/not-taken", ctx -> answer(ctx, FarmJson.notTaken(live.notTaken())));
    routes.get(
        "/api/v1/evening",
        ctx -> answer(ctx, EveningJson.of(live.farm().name(), live.evening(), live.reach())));
    routes.get(
        "/api/v1/tanks/{id}/trace",
        ctx ->
            answer(
                ctx,
                traces.trace(tank(ctx, live), TraceQuery.of(ctx.queryParamMap(), live.now()))));
    export.routes(routes);
    new PlanApi().routes(routes);
    new ActsApi(live).routes(routes);
  }

  /** The tank that the path names. */
  static Tank tank(Context ctx, LiveFarm live) {
    String id = ctx.pathParam("id");
    return live.farm().tank(id).orElseThrow(() -> noTank());
  }

  /** Says that a tank is not there, or not any more. */
  static Problem noTank() {
    return Problem.notFound("This farm has no such tank; it may have been taken out.");
  }

  /** The JSON that somebody sent. */
  static JsonNode body(Context ctx) {
    return body(ctx, LARGEST_BODY);
  }

  /** The JSON that was sent, of at most so many bytes. */
  static JsonNode body(Context ctx, int largest) {
    String type = ctx.contentType();
    if (type == null || !type.startsWith("application/json")) {
      throw Problem.wrongType("Content-Type must be application/json.");
    }
    if (ctx.req().getContentLengthLong() > largest) {
      throw Problem.tooLarge("The body must not be over %d bytes.".formatted(largest));
    }
    return Json.read(ctx.bodyAsBytes());
  }

  /** The name of the person who sent the request. */
  static String name(Context ctx) {
    return name(ctx, body(ctx));
  }

  /** What was sent, in the name of whoever is logged in, whatever name was sent. */
  static JsonNode signed(Context ctx, JsonNode body) {
    if (body instanceof ObjectNode object) {
      Who.name(ctx).ifPresent(name -> object.put("by", name));
    }
    return body;
  }

  /** The name of the person: who is logged in, and only where nobody has to what was sent. */
  static String name(Context ctx, JsonNode sent) {
    JsonNode body = signed(ctx, sent);
    JsonNode by = body.path("by");
    String name = by.isTextual() ? by.textValue().strip() : "";
    if (name.isEmpty() || name.length() > Who.LONGEST_NAME) {
      throw Problem.wrongField(
          "Your name: must have 1–%d letters.".formatted(Who.LONGEST_NAME),
          "/by",
          "'by' must be the name of a person, 1–%d letters.".formatted(Who.LONGEST_NAME));
    }
    if (name.codePoints().anyMatch(Character::isISOControl)) {
      throw Problem.wrongField(
          "Your name: must be on one line.",
          "/by",
          "'by' must be on one line, without control characters.");
    }
    return name;
  }

  static void answer(Context ctx, ObjectNode node) {
    ctx.header("Cache-Control", "no-store")
        .contentType("application/json")
        .result(Json.bytes(node));
  }
}
