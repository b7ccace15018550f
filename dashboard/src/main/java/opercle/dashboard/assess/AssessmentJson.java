// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Map;
import java.util.OptionalDouble;
import opercle.dashboard.assess.Changes.Instrument;
import opercle.dashboard.assess.FaultRow.Summary;

/** An assessment as JSON: the tables of {@link AssessmentText}, unrounded; null for never. */
final class AssessmentJson {

  private AssessmentJson() {}

  static ObjectNode of(Assessment assessment) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    plan(json, assessment.plan());
    for (FaultRow row : assessment.faults()) {
      fault(json.withArray("/faults").addObject(), row);
    }
    for (FalseAlarmRow row : assessment.falseAlarms()) {
      falseAlarms(json.withArray("/falseAlarms").addObject(), row);
    }
    json.putArray("probes");
    for (ProbeRow row : assessment.probes()) {
      ObjectNode node =
          json.withArray("/probes")
              .addObject()
              .put("kind", row.kind())
              .put("nights", row.nights())
              .put("told", row.told())
              .put("named", row.named());
      put(node, "medianDelaySeconds", row.medianDelaySeconds());
    }
    for (Calibration row : assessment.calibration()) {
      ObjectNode node =
          json.withArray("/timeInHand")
              .addObject()
              .put("what", row.what())
              .put("nights", row.nights());
      row.shares().forEach((verdict, share) -> node.put(verdict.id(), share));
      put(node, "medianHighOverLow", row.medianSpread());
    }
    ObjectNode called = json.putObject("firstCalled");
    assessment.confusion().rows().forEach((kind, row) -> counts(called.putObject(kind.id()), row));
    return json;
  }

  private static void plan(ObjectNode json, AssessmentPlan plan) {
    json.put("nights", plan.nights())
        .put("seed", plan.seed())
        .put("forDevelopment", plan.isForDevelopment());
    ObjectNode changes = json.putObject("instruments");
    for (Instrument instrument : Instrument.values()) {
      if (plan.changes().without().contains(instrument)) {
        changes.withArray("/without").add(instrument.id());
      }
    }
    put(changes, "samplingSeconds", plan.changes().samplingSeconds());
    changes
        .put("noiseFactor", plan.changes().noiseFactor())
        .put("lagFactor", plan.changes().lagFactor());
  }

  private static void fault(ObjectNode json, FaultRow row) {
    json.put("kind", row.kind())
        .put("nights", row.nights())
        .put("harmful", row.harmful())
        .put("named", row.named());
    put(json, "limitSeconds", row.limitSeconds());
    row.detectors().forEach((detector, s) -> summary(json.putObject(detector.id()), s));
    summary(json.putObject("watch-any-priority"), row.anyPriority());
  }

  private static void summary(ObjectNode json, Summary summary) {
    json.put("judged", summary.judged())
        .put("noticed", summary.noticed())
        .put("missed", summary.missed())
        .put("open", summary.open());
    put(json, "medianDelaySeconds", summary.medianDelaySeconds());
    put(json, "p95DelaySeconds", summary.p95DelaySeconds());
    put(json, "medianShareLeft", summary.medianShareLeft());
  }

  private static void falseAlarms(ObjectNode json, FalseAlarmRow row) {
    json.put("nights", row.where());
    row.detectors()
        .forEach(
            (detector, count) -> {
              ObjectNode node =
                  json.putObject(detector.id())
                      .put("tankNights", count.tankNights())
                      .put("calls", count.calls());
              boolean any = count.tankNights() > 0.0;
              put(node, "perHundredNights", any, count.perHundredNights());
              put(node, "upperLimitPerHundredNights", any, count.upperLimitPerHundredNights());
            });
    counts(json.putObject("causes"), row.causes());
  }

  private static void counts(ObjectNode json, Map<String, Integer> counts) {
    counts.forEach(json::put);
  }

  private static void put(ObjectNode json, String key, OptionalDouble value) {
    put(json, key, value.isPresent(), value.orElse(0.0));
  }

  private static void put(ObjectNode json, String key, boolean present, double value) {
    if (present) {
      json.put(key, value);
    } else {
      json.putNull(key);
    }
  }
}
