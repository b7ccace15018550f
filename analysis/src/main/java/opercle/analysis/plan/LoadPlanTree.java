// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.stock.Batch;
import org.jspecify.annotations.Nullable;

/**
 * A plan as ordered maps, lists, strings, numbers and nulls: what any JSON writer takes as it is.
 *
 * <p>Units stand in the names. JSON has no infinity: an end of a band that has none is {@code null}
 * (a flow that no gas suffices for, a time that never ends), and so is a figure that was not asked
 * for.
 */
public final class LoadPlanTree {

  private LoadPlanTree() {}

  /** The whole plan. */
  public static Map<String, @Nullable Object> of(LoadPlan plan) {
    Map<String, @Nullable Object> tree = new LinkedHashMap<>();
    Outlook outlook = plan.outlook();
    tree.put("type", "load-plan");
    tree.put("verdict", plan.verdict().id());
    tree.put("request", request(plan.request()));
    tree.put("reasons", plan.reasons().stream().map(LoadPlanTree::reason).toList());
    tree.put("densityKgPerL", outlook.densityKgPerL());
    tree.put("demandNowMgPerKgPerHour", band(outlook.demandNowMgPerKgPerHour()));
    tree.put("demandAfterAnHourMgPerKgPerHour", band(outlook.demandAfterAnHourMgPerKgPerHour()));
    tree.put("airSaturationMgPerL", outlook.airSaturationMgPerL());
    tree.put("keepFloorMgPerL", plan.request().load().keepFloorMgPerL());
    tree.put("targetMgPerL", outlook.targetMgPerL());
    tree.put("flowNowLPerMin", band(outlook.flowNowLPerMin()));
    tree.put("flowAfterAnHourLPerMin", band(outlook.flowAfterAnHourLPerMin()));
    tree.put("flowAtEndLPerMin", band(outlook.flowAtEndLPerMin()));
    tree.put("tradeFlowLPerMin", plan.tradeFlowLPerMin());
    tree.put("flowLimitLPerMin", outlook.flowLimitLPerMin());
    tree.put("lowestOxygenMgPerL", band(outlook.lowestMgPerL()));
    tree.put("highestOxygenMgPerL", band(outlook.highestMgPerL()));
    tree.put("settledOxygenMgPerL", band(outlook.settledMgPerL()));
    tree.put("gasUsedLitres", band(outlook.gasUsedLitres()));
    tree.put("gasUsableLitres", orNull(outlook.gasUsableLitres()));
    tree.put("enduranceMinutes", outlook.enduranceMinutes().map(LoadPlanTree::band).orElse(null));
    tree.put("timeInHandIfGasStopsMinutes", band(outlook.inHandAtLoadingMinutes()));
    tree.put("timeInHandIfGasStopsAfterAnHourMinutes", band(outlook.inHandAfterAnHourMinutes()));
    tree.put("timeInHandIfGasStopsAtTheEndMinutes", band(outlook.inHandAtEndMinutes()));
    tree.put("tanMgPerL", band(outlook.tanMgPerL()));
    tree.put("carbonDioxideMgPerL", band(outlook.carbonDioxideMgPerL()));
    tree.put("course", outlook.course().stream().map(LoadPlanTree::point).toList());
    tree.put("largestGoKg", orNull(plan.largestGoKg()));
    tree.put("largestWithCareKg", orNull(plan.largestWithCareKg()));
    tree.put("remedies", plan.remedies().stream().map(LoadPlanTree::remedy).toList());
    tree.put("notes", plan.notes());
    tree.put("cautions", plan.cautions());
    return tree;
  }

  private static Map<String, @Nullable Object> request(LoadPlanRequest request) {
    Map<String, @Nullable Object> tree = new LinkedHashMap<>();
    tree.put("waterLitres", request.waterLitres());
    List<Map<String, @Nullable Object>> batches =
        request.load().batches().stream().map(LoadPlanTree::batch).toList();
    tree.put("load", batches);
    tree.put("temperatureC", request.temperatureC());
    tree.put("riseC", request.riseC());
    tree.put("minutes", request.minutes());
    tree.put("gas", request.gas().id());
    tree.put("diffuser", request.diffuser().id());
    tree.put("depthM", request.depthM());
    tree.put("flowLPerMin", orNull(request.flowLPerMin()));
    tree.put("cylinder", request.cylinders().map(LoadPlanTree::cylinders).orElse(null));
    tree.put("reserveBar", request.reserveBar());
    tree.put("responseMinutes", request.responseMinutes());
    tree.put("handlingPeak", band(request.handling().peak()));
    tree.put("handlingFadeHours", band(request.handling().fadeHours()));
    tree.put("feeding", request.feeding().name().toLowerCase(Locale.ROOT));
    tree.put("pressureKPa", request.pressureKPa());
    if (request.saltGPerKg() > 0.0) {
      tree.put("saltGPerKg", request.saltGPerKg());
    }
    request.measuredRate().ifPresent(rate -> tree.put("measuredRate", measured(rate)));
    return tree;
  }

  private static Map<String, @Nullable Object> measured(MeasuredRate rate) {
    Map<String, @Nullable Object> tree = new LinkedHashMap<>();
    tree.put("mgPerKgPerHour", band(rate.mgPerKgPerHour()));
    tree.put("temperatureC", rate.temperatureC());
    tree.put("trips", rate.trips());
    return tree;
  }

  private static Map<String, @Nullable Object> batch(Batch batch) {
    Map<String, @Nullable Object> tree = new LinkedHashMap<>();
    tree.put("species", batch.species().id());
    tree.put("kg", batch.kg());
    tree.put("meanMassKg", batch.meanMassKg());
    tree.put("counted", batch.countedMassKg().isPresent());
    return tree;
  }

  private static Map<String, @Nullable Object> cylinders(LoadPlanRequest.Cylinders cylinders) {
    Map<String, @Nullable Object> tree = new LinkedHashMap<>();
    tree.put("waterLitres", cylinders.waterLitres());
    tree.put("bar", cylinders.bar());
    tree.put("count", cylinders.count());
    return tree;
  }

  private static Map<String, @Nullable Object> reason(Reason reason) {
    Map<String, @Nullable Object> tree = new LinkedHashMap<>();
    tree.put("topic", reason.topic().id());
    tree.put("verdict", reason.verdict().id());
    tree.put("value", reason.value().map(LoadPlanTree::band).orElse(null));
    tree.put("limit", reason.limit());
    tree.put("unit", reason.unit());
    tree.put("source", reason.evidence().source());
    tree.put("confidence", reason.evidence().confidence().words());
    tree.put("sentence", reason.sentence());
    return tree;
  }

  private static Map<String, @Nullable Object> point(TripPoint point) {
    Map<String, @Nullable Object> tree = new LinkedHashMap<>();
    tree.put("minutes", point.minutes());
    tree.put("oxygenMgPerL", band(point.oxygenMgPerL()));
    tree.put("tanMgPerL", band(point.tanMgPerL()));
    tree.put("carbonDioxideMgPerL", band(point.carbonDioxideMgPerL()));
    return tree;
  }

  private static Map<String, @Nullable Object> remedy(Remedy remedy) {
    Map<String, @Nullable Object> tree = new LinkedHashMap<>();
    tree.put("change", remedy.kind().id());
    tree.put("value", remedy.value());
    tree.put("unit", remedy.unit());
    tree.put("verdict", remedy.verdict().id());
    tree.put("sentence", remedy.sentence());
    return tree;
  }

  private static Map<String, @Nullable Object> band(Band band) {
    Map<String, @Nullable Object> tree = new LinkedHashMap<>();
    tree.put("low", finite(band.low()));
    tree.put("likely", finite(band.likely()));
    tree.put("high", finite(band.high()));
    return tree;
  }

  private static @Nullable Double orNull(OptionalDouble value) {
    return value.isPresent() ? finite(value.getAsDouble()) : null;
  }

  private static @Nullable Double finite(double value) {
    return Double.isFinite(value) ? value : null;
  }
}
