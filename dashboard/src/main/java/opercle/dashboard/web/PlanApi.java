// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.Semaphore;
import java.util.stream.Stream;
import opercle.analysis.ValidRange;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.plan.LoadPlan;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.plan.LoadPlanTree;
import opercle.analysis.stock.Species;

/**
 * The load plan for the pages and for other programs: what can be asked, and the answer. It knows
 * nothing of the farm and changes nothing. For any thread.
 */
final class PlanApi {

  /** A long trip takes a second of a processor, which the watch must not be left without. */
  private final Semaphore atOnce = new Semaphore(2);

  void routes(RoutesConfig routes) {
    ObjectNode choices = choices();
    routes.get("/api/v1/plan", ctx -> Api.answer(ctx, choices));
    routes.post("/api/v1/plan", this::plan);
  }

  private void plan(Context ctx) {
    LoadPlanRequest request = PlanQuery.read(Api.body(ctx));
    if (!atOnce.tryAcquire()) {
      throw Problem.busy("Other plans are being worked out. Ask again in a second.");
    }
    try {
      Api.answer(ctx, Json.tree(LoadPlanTree.of(LoadPlan.of(request))));
    } catch (IllegalArgumentException e) { // out of the range of one of the formulas
      throw Problem.badRequest(String.valueOf(e.getMessage()));
    } finally {
      atOnce.release();
    }
  }

  private static ObjectNode choices() {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("type", "load-plan-choices");
    ArrayNode species = node.putArray("species");
    for (Species kind : Species.values()) {
      species
          .addObject()
          .put("id", kind.id())
          .put("name", kind.commonName())
          .put("usualMassKg", kind.usualMassKg());
    }
    words(node.putArray("gas"), Stream.of(Gas.values()).map(Gas::id));
    words(node.putArray("diffuser"), Stream.of(Diffuser.values()).map(Diffuser::id));
    words(node.putArray("handling"), PlanQuery.HANDLING.keySet().stream().sorted());
    words(node.putArray("feeding"), PlanQuery.FEEDING.keySet().stream().sorted());
    node.putObject("usual")
        .put("depthM", LoadPlanRequest.USUAL_DEPTH_M)
        .put("reserveBar", LoadPlanRequest.USUAL_RESERVE_BAR)
        .put("responseMinutes", LoadPlanRequest.USUAL_RESPONSE_MINUTES);
    Map<String, ValidRange> limits = new TreeMap<>(LoadPlanRequest.limits());
    limits.put("load.kg", PlanQuery.BATCH_KG);
    limits.put("load.meanMassKg", PlanQuery.EACH_KG);
    limits.put("load.count", PlanQuery.COUNT);
    limits.put("riseC", PlanQuery.RISE);
    limits.put("altitudeM", PlanQuery.ALTITUDE);
    limits.put("cylinder.count", PlanQuery.CYLINDERS);
    ObjectNode all = node.putObject("limits");
    limits.forEach(
        (field, range) ->
            all.putObject(field)
                .put("low", range.low())
                .put("high", range.high())
                .put("unit", range.unit()));
    return node;
  }

  private static void words(ArrayNode into, Stream<String> words) {
    words.forEach(into::add);
  }
}
