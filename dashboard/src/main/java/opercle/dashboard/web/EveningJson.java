// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import opercle.analysis.evening.Check;
import opercle.analysis.evening.EveningCheck;
import opercle.analysis.evening.EveningCheck.TankEvening;
import opercle.analysis.evening.Reach;
import opercle.analysis.publish.WatchJson;

/** The evening check as JSON, the worst first. Pure; for any thread. */
final class EveningJson {

  private EveningJson() {}

  /** The check, and whom one can send a test: each person that would be called. */
  static ObjectNode of(String farm, EveningCheck evening, Reach reach) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("type", "evening");
    node.put("farm", farm);
    node.put("time", WatchJson.time(evening.time()));
    node.put("morning", WatchJson.time(evening.morning()));
    node.put("canGoToBed", evening.canGoToBed());
    node.put("open", evening.open());
    ArrayNode people = node.putArray("people");
    reach.ways().stream().map(Reach.Way::person).distinct().forEach(people::add);
    ArrayNode tanks = node.putArray("tanks");
    for (TankEvening tank : evening.tanks()) {
      ObjectNode t = tanks.addObject();
      t.put("tank", tank.tank());
      t.put("name", tank.name());
      t.put("answer", tank.answer().id());
      tank.inHandMinutes()
          .ifPresent(
              minutes -> {
                if (Double.isFinite(minutes)) { // else it holds without gas
                  t.put("inHandIfGasStopsLowMinutes", Math.floor(10.0 * minutes) / 10.0);
                }
              });
      checks(t.putArray("checks"), tank.checks());
    }
    checks(node.putArray("checks"), evening.farm());
    return node;
  }

  private static void checks(ArrayNode into, List<Check> checks) {
    for (Check check : checks) {
      ObjectNode c = into.addObject();
      c.put("topic", check.topic().id());
      c.put("answer", check.answer().id());
      c.put("words", check.words());
      check.action().ifPresent(action -> c.put("action", action));
    }
  }
}
