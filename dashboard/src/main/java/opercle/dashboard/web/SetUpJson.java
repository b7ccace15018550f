// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.book.MappingRecords.Assigned;
import opercle.analysis.farm.Tank;
import opercle.analysis.setup.FarmDoor;
import opercle.analysis.setup.HeardProbes;
import opercle.analysis.setup.ProbeDesk;
import opercle.analysis.stock.Species;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.payload.UnknownTopics;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/** What is set up, as JSON. A value that is not known is left out, never zero. For any thread. */
final class SetUpJson {

  private static final JsonNodeFactory NODES = JsonNodeFactory.instance;
  private static final int CHANGES_SHOWN = 10;

  private SetUpJson() {}

  /**
   * Everything that is set up.
   *
   * @param probes empty where this process takes no readings
   */
  static ObjectNode of(
      FarmDoor farm, Optional<ProbeDesk> probes, HeardProbes heard, boolean calls) {
    FarmVersion version = farm.version();
    ObjectNode node = NODES.objectNode();
    node.put("version", version.number());
    node.put("farm", version.farm().name());
    node.put("altitudeM", version.farm().altitudeM());
    List<Assigned> assigned = probes.map(ProbeDesk::assigned).orElse(List.of());
    ArrayNode tanks = node.putArray("tanks");
    for (Tank tank : version.farm().tanks()) {
      ObjectNode t = FarmJson.description(tank);
      t.put("ownFloors", tank.floors().isPresent());
      ArrayNode list = t.putArray("probes");
      heard.of(tank.id()).forEach(reading -> list.add(probe(reading, assigned)));
      tanks.add(t);
    }
    ArrayNode species = node.putArray("species");
    for (Species s : Species.values()) {
      species.addObject().put("id", s.id()).put("name", s.commonName());
    }
    ArrayNode quantities = node.putArray("quantities");
    for (Quantity q : Quantity.values()) {
      quantities
          .addObject()
          .put("id", q.id())
          .put("unit", q.unit())
          .put("lowest", q.lowestPlausible())
          .put("highest", q.highestPlausible());
    }
    node.put("calls", calls);
    node.put("seesTopics", probes.isPresent());
    ArrayNode unknown = node.putArray("unknown");
    probes.ifPresent(p -> p.unknown().forEach(seen -> unknown.add(unknown(seen))));
    ArrayNode given = node.putArray("assigned");
    assigned.forEach(a -> given.add(assigned(a)));
    ArrayNode changes = node.putArray("changes");
    farm.history(CHANGES_SHOWN).forEach(v -> changes.add(change(v)));
    return node;
  }

  static ObjectNode version(long number) {
    return NODES.objectNode().put("version", number);
  }

  private static ObjectNode probe(Reading reading, List<Assigned> assigned) {
    ObjectNode node = NODES.objectNode();
    node.put("quantity", reading.quantity().id());
    node.put("unit", reading.quantity().unit());
    node.put("probe", reading.probe());
    node.put("value", Json.rounded(reading.value()));
    node.put("heard", reading.time().toString());
    assigned.stream()
        .map(Assigned::mapping)
        .filter(m -> feeds(m, reading))
        .findFirst()
        .ifPresent(m -> node.put("topic", m.topicFilter()));
    return node;
  }

  private static boolean feeds(TopicMapping m, Reading reading) {
    return m.tank().equals(reading.tank())
        && m.quantity() == reading.quantity()
        && m.probe().equals(reading.probe());
  }

  private static ObjectNode unknown(UnknownTopics.Seen seen) {
    ObjectNode node = NODES.objectNode();
    node.put("topic", seen.topic());
    node.put("shown", seen.shown());
    node.put("count", seen.count());
    node.put("last", seen.last().toString());
    seen.everySeconds().ifPresent(s -> node.put("everySeconds", Json.rounded(s)));
    ArrayNode values = node.putArray("values");
    seen.values()
        .forEach(v -> values.addObject().put("pointer", v.pointer()).put("value", v.value()));
    return node;
  }

  private static ObjectNode assigned(Assigned assigned) {
    TopicMapping m = assigned.mapping();
    return NODES
        .objectNode()
        .put("topic", m.topicFilter())
        .put("pointer", m.valuePointer())
        .put("tank", m.tank())
        .put("quantity", m.quantity().id())
        .put("by", assigned.by())
        .put("time", assigned.time().toString());
  }

  private static ObjectNode change(FarmVersion version) {
    ObjectNode node = NODES.objectNode();
    node.put("version", version.number());
    node.put("time", version.time().toString());
    node.put("by", version.by());
    ArrayNode what = node.putArray("what");
    version.what().forEach(what::add);
    return node;
  }
}
