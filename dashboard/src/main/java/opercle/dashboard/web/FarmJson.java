// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.alarm.ShelvingRule;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.watch.Belief;
import opercle.analysis.watch.Origins;
import opercle.analysis.watch.Spoken;
import opercle.analysis.watch.TankChecks;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import opercle.ingest.reading.Rejection;
import org.jspecify.annotations.Nullable;

/**
 * The farm as JSON: what the pages and other programs read. A value that is not known is left out,
 * never zero. Pure; for any thread.
 */
final class FarmJson {

  private static final JsonNodeFactory NODES = JsonNodeFactory.instance;

  private FarmJson() {}

  /** Everything: descriptions and states. */
  static ObjectNode everything(LiveFarm live) {
    Farm farm = live.farm();
    Map<String, TankState> states = states(live);
    ObjectNode node = NODES.objectNode();
    node.put("farm", farm.name());
    node.put("now", live.now().toString());
    node.put("zone", live.morning().zone().getId());
    node.put("version", version(farm));
    ArrayNode tanks = node.putArray("tanks");
    for (Tank tank : farm.tanks()) {
      ObjectNode t = description(tank);
      t.set("state", state(farm, tank, states.get(tank.id())));
      tanks.add(t);
    }
    return node;
  }

  /**
   * What changes from second to second. The version tells a page that the descriptions it has are
   * old.
   */
  static ObjectNode snapshot(LiveFarm live) {
    Farm farm = live.farm();
    Map<String, TankState> states = states(live);
    ObjectNode node = NODES.objectNode();
    node.put("now", live.now().toString());
    node.put("version", version(farm));
    node.put("notTaken", live.notTaken().total());
    ArrayNode troubles = node.putArray("troubles");
    live.troubles().forEach(troubles::add);
    ObjectNode tanks = node.putObject("tanks");
    for (Tank tank : farm.tanks()) {
      tanks.set(tank.id(), state(farm, tank, states.get(tank.id())));
    }
    return node;
  }

  static ObjectNode notTaken(NotTaken notTaken) {
    ObjectNode node = NODES.objectNode();
    node.put("total", notTaken.total());
    ObjectNode counts = node.putObject("counts");
    notTaken.counts().entrySet().stream()
        .sorted(Map.Entry.comparingByKey())
        .forEach(e -> counts.put(id(e.getKey()), e.getValue()));
    ArrayNode latest = node.putArray("latest");
    for (Rejection rejection : notTaken.latest()) {
      latest
          .addObject()
          .put("time", rejection.time().toString())
          .put("reason", id(rejection.reason()))
          .put("source", rejection.source())
          .put("detail", rejection.detail());
    }
    return node;
  }

  private static Map<String, TankState> states(LiveFarm live) {
    return live.states().stream()
        .collect(Collectors.toMap(TankState::tank, s -> s, (older, newer) -> newer));
  }

  private static String version(Farm farm) {
    return Integer.toHexString(farm.hashCode());
  }

  static ObjectNode description(Tank tank) {
    ObjectNode node = NODES.objectNode();
    node.put("id", tank.id());
    node.put("name", tank.name());
    node.put("kind", tank.kind().id());
    node.put("waterLitres", tank.waterLitres());
    node.put("depthM", tank.depthM());
    Tank.Supply supply = tank.supply();
    ObjectNode s = node.putObject("supply");
    s.put("gas", supply.gas().id());
    s.put("source", supply.source().id());
    s.put("diffuser", supply.diffuser().id());
    s.put("flowLPerMin", supply.flowLPerMin());
    supply.sharedSource().ifPresent(name -> s.put("sharedSource", name));
    supply.pausesMinutes().ifPresent(m -> s.put("pausesMinutes", m));
    supply
        .cylinder()
        .ifPresent(
            c ->
                s.putObject("cylinder")
                    .put("waterLitres", c.waterLitres())
                    .put("fullBar", c.fullBar()));
    ArrayNode loads = node.putArray("loads");
    for (Tank.Load load : tank.loads()) {
      ObjectNode l = loads.addObject();
      l.put("species", load.species().id());
      l.put("name", load.species().commonName());
      l.put("kg", load.kg());
      load.count().ifPresent(count -> l.put("count", count));
      load.since().ifPresent(since -> l.put("since", since.toString()));
    }
    tank.responseMinutes().ifPresent(minutes -> node.put("responseMinutes", minutes));
    holding(node, tank.holding());
    Tank.Floors floors = tank.floorsInForce();
    node.putObject("floors")
        .put("keepMgPerL", floors.keepMgPerL())
        .put("criticalMgPerL", floors.criticalMgPerL());
    return node;
  }

  private static void holding(ObjectNode node, Tank.Holding holding) {
    if (holding.equals(Tank.Holding.NOT_SAID)) {
      return;
    }
    ObjectNode h = node.putObject("holding");
    Json.put(h, "days", holding.days());
    if (!holding.daysBySpecies().isEmpty()) {
      ObjectNode bySpecies = h.putObject("daysBySpecies");
      holding.daysBySpecies().forEach((species, days) -> bySpecies.put(species.id(), days));
    }
    Json.put(h, "freshLPerHour", holding.freshLPerHour());
    Json.put(h, "ph", holding.ph());
    Json.put(h, "alkalinityMgPerL", holding.alkalinityMgPerL());
  }

  /** An object without fields where the watch has not said anything of the tank yet. */
  private static ObjectNode state(Farm farm, Tank tank, @Nullable TankState state) {
    ObjectNode node = NODES.objectNode();
    if (state == null) {
      return node;
    }
    node.put("time", state.time().toString());
    state.newestReading().ifPresent(t -> node.put("newestReading", t.toString()));
    Json.put(node, "oxygenMgPerL", state.oxygenMgPerL());
    Json.put(node, "saturationPercent", state.saturationPercent());
    Json.put(node, "temperatureC", state.temperatureC());
    Json.put(node, "gasFlowLPerMin", state.gasFlowLPerMin());
    Json.put(node, "slopeMgPerLPerMin", state.slopeMgPerLPerMin());
    Json.put(node, "demandMgPerKgPerHour", state.demandMgPerKgPerHour());
    node.set("origins", origins(state.checks().origins()));
    node.set("belief", belief(state.checks()));
    node.set("timeInHand", timeInHand(state.timeInHand()));
    node.set("timeInHandIfGasStops", timeInHand(state.timeInHandIfGasStops()));
    ArrayNode alarms = node.putArray("alarms");
    state
        .alarms()
        .forEach(
            alarm -> alarms.add(alarm(alarm).put("spoken", Spoken.of(farm, tank, alarm, state))));
    if (!state.outOfService().isEmpty()) {
      ArrayNode orders = node.putArray("outOfService");
      state.outOfService().forEach(order -> orders.add(outOfService(order)));
    }
    return node;
  }

  private static ObjectNode origins(Origins origins) {
    ObjectNode node = NODES.objectNode();
    heard(node, "oxygen", origins.oxygen());
    heard(node, "temperature", origins.temperature());
    heard(node, "gasFlow", origins.gasFlow());
    origins.demandMeasured().ifPresent(measured -> node.put("demandMeasured", measured));
    origins.fallingSince().ifPresent(since -> node.put("fallingSince", since.toString()));
    return node;
  }

  private static void heard(ObjectNode node, String key, Optional<Origins.Heard> heard) {
    heard.ifPresent(
        h -> node.putObject(key).put("probe", h.probe()).put("time", h.at().toString()));
  }

  /** What the watch believes of probes and supply, also while no alarm stands, and why. */
  private static ObjectNode belief(TankChecks checks) {
    ObjectNode node = NODES.objectNode();
    node.put("oxygenProbe", checks.oxygenProbe().id());
    node.put("supply", checks.supply().id());
    ArrayNode probes = node.putArray("probes");
    for (Belief.OfProbe p : checks.belief().probes()) {
      ObjectNode one = probes.addObject().put("probe", p.probe()).put("trust", p.trust().id());
      p.why().ifPresent(why -> one.put("why", why));
      one.put("time", p.at().toString());
      p.doubtedAt().ifPresent(at -> one.put("doubtedAt", at.toString()));
    }
    ArrayNode meters = node.putArray("meters");
    for (Belief.OfMeter m : checks.belief().meters()) {
      ObjectNode one = meters.addObject().put("measures", m.measures().id());
      one.put("probe", m.probe());
      one.put("value", Json.rounded(m.value())).put("usual", Json.rounded(m.usual()));
      one.put("says", m.says().id()).put("time", m.at().toString());
      m.since().ifPresent(since -> one.put("since", since.toString()));
    }
    return node;
  }

  private static ObjectNode timeInHand(TimeInHand inHand) {
    ObjectNode node = NODES.objectNode();
    if (inHand instanceof TimeInHand.Minutes m) {
      node.put("is", "minutes");
      node.put("low", Json.rounded(m.minutes().low()));
      node.put("likely", Json.rounded(m.minutes().likely()));
      node.put("high", Json.rounded(m.minutes().high()));
    } else if (inHand instanceof TimeInHand.Unknown u) {
      node.put("is", "unknown");
      node.put("why", u.why());
    } else {
      node.put("is", "holding");
    }
    return node;
  }

  private static ObjectNode alarm(Alarm alarm) {
    ObjectNode node = NODES.objectNode();
    node.put("cause", alarm.cause().id());
    node.put("priority", alarm.priority().id());
    node.put("state", alarm.state().id());
    node.put("since", alarm.since().toString());
    alarm.acknowledgedBy().ifPresent(by -> node.put("acknowledgedBy", by));
    node.put("message", alarm.message());
    node.put("annunciated", alarm.annunciated());
    node.put("sounding", alarm.isSounding());
    alarm.silencedUntil().ifPresent(until -> node.put("silencedUntil", until.toString()));
    alarm.by().ifPresent(by -> node.put("by", by));
    alarm.until().ifPresent(until -> node.put("until", until.toString()));
    alarm
        .root()
        .ifPresent(
            root ->
                node.putObject("root").put("tank", root.tank()).put("cause", root.cause().id()));
    if (!alarm.tanks().isEmpty()) {
      ArrayNode tanks = node.putArray("tanks");
      alarm.tanks().forEach(tanks::add);
    }
    node.put("longestShelfMinutes", ShelvingRule.longest(alarm.priority()).toMinutes());
    return node;
  }

  private static ObjectNode outOfService(OutOfService order) {
    ObjectNode node = NODES.objectNode();
    order.cause().ifPresent(cause -> node.put("cause", cause.id()));
    return node.put("reason", order.reason())
        .put("by", order.by())
        .put("from", order.from().toString())
        .put("until", order.until().toString());
  }

  private static String id(Rejection.Reason reason) {
    return reason.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
