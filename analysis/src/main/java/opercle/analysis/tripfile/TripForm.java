// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.ValidRange;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.OxygenDemand;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripLimits;
import opercle.analysis.trip.TripPlan;
import opercle.analysis.trip.TripTank;

/** The trip itself as JSON: what {@link EntryForm} has under {@code trip}. */
final class TripForm {

  private static final Map<String, Trip.Kind> KINDS =
      EntryForm.words(Trip.Kind.values(), Trip.Kind::id);
  private static final Map<String, Tank.Gas> GASES =
      EntryForm.words(Tank.Gas.values(), Tank.Gas::id);
  private static final Map<String, Tank.Source> SOURCES =
      EntryForm.words(Tank.Source.values(), Tank.Source::id);
  private static final Map<String, Tank.Diffuser> DIFFUSERS =
      EntryForm.words(Tank.Diffuser.values(), Tank.Diffuser::id);
  private static final Map<String, TripTank.Surface> SURFACES =
      EntryForm.words(TripTank.Surface.values(), TripTank.Surface::id);

  private static final ValidRange PAUSES_MINUTES = new ValidRange("", "", 0.5, 60.0, "min");
  private static final ValidRange CYLINDER_LITRES = new ValidRange("", "", 0.1, 1000.0, "L");
  private static final ValidRange RATE = new ValidRange("", "", 0.0, 1.0e4, "mg/kg/h");
  private static final ValidRange MG_PER_L = new ValidRange("", "", 0.0, 100.0, "mg/L");
  private static final ValidRange LITRES = new ValidRange("", "", 0.0, 1.0e9, "L");
  private static final int MOST_KINDS = 20;
  private static final int MOST_FISH = 100_000_000;
  private static final int LONGEST = 120;
  private static final String RECORD = "movementRecord";
  private static final String OTHERS = "otherMovements";

  private TripForm() {}

  static ObjectNode write(Trip trip) {
    ObjectNode node = EntryForm.JSON.createObjectNode();
    node.put("id", trip.id()).put("kind", trip.kind().id());
    node.set("tank", tank(trip.tank()));
    trip.vehicle().ifPresent(v -> node.put("vehicle", v));
    node.put("from", trip.from()).put("to", trip.to());
    ArrayNode load = node.putArray("load");
    for (Tank.Load l : trip.load()) {
      ObjectNode one = load.addObject().put("species", l.species().id()).put("kg", l.kg());
      l.count().ifPresent(n -> one.put("count", n));
      l.since().ifPresent(t -> one.put("since", t.toString()));
    }
    EntryForm.put(node, "expectedMinutes", trip.expectedMinutes());
    node.putObject("limits")
        .put("keepMgPerL", trip.limits().keepMgPerL())
        .put("criticalMgPerL", trip.limits().criticalMgPerL())
        .put("upperPercent", trip.limits().upperPercent());
    EntryForm.put(node, "cylinderBar", trip.cylinderBar());
    trip.plan().ifPresent(plan -> node.set("plan", plan(plan)));
    trip.movementRecord().ifPresent(id -> node.put(RECORD, id));
    if (!trip.otherMovements().isEmpty()) {
      trip.otherMovements().forEach(node.putArray(OTHERS)::add);
    }
    return node;
  }

  private static ObjectNode tank(TripTank tank) {
    ObjectNode node = EntryForm.JSON.createObjectNode();
    node.put("id", tank.id()).put("name", tank.name());
    node.put("waterLitres", tank.waterLitres()).put("depthM", tank.depthM());
    Tank.Supply supply = tank.supply();
    ObjectNode s = node.putObject("supply");
    s.put("gas", supply.gas().id())
        .put("source", supply.source().id())
        .put("diffuser", supply.diffuser().id())
        .put("flowLPerMin", supply.flowLPerMin());
    supply
        .cylinder()
        .ifPresent(
            c ->
                s.putObject("cylinder")
                    .put("waterLitres", c.waterLitres())
                    .put("fullBar", c.fullBar()));
    supply.sharedSource().ifPresent(name -> s.put("sharedSource", name));
    supply.pausesMinutes().ifPresent(m -> s.put("pausesMinutes", m));
    node.put("surface", tank.surface().id());
    node.put("airPressureKPa", tank.airPressureKPa());
    node.put("waterTakesMgPerLPerHour", tank.waterTakesMgPerLPerHour());
    if (tank.saltGPerKg() > 0.0) {
      node.put("saltGPerKg", tank.saltGPerKg());
    }
    if (tank.freshLPerHour() > 0.0) {
      node.put("freshLPerHour", tank.freshLPerHour());
    }
    return node;
  }

  private static ObjectNode plan(TripPlan plan) {
    ObjectNode node = EntryForm.JSON.createObjectNode();
    band(node, "demandMgPerKgPerHour", plan.demandMgPerKgPerHour());
    band(node, "lowestMgPerL", plan.lowestMgPerL());
    band(node, "gasLitres", plan.gasLitres());
    EntryForm.put(node, "flowLPerMin", plan.flowLPerMin());
    node.put("reserveBar", plan.reserveBar());
    node.put("temperatureC", plan.temperatureC());
    node.put("minutes", plan.minutes());
    return node;
  }

  static void band(ObjectNode node, String name, Band band) {
    node.putObject(name)
        .put("low", band.low())
        .put("likely", band.likely())
        .put("high", band.high());
  }

  /** Reads a trip; empty where something of it is wrong. */
  static Optional<Trip> read(Fields f) {
    int before = f.faults().size();
    String id = f.id("id");
    Trip.Kind kind = f.word("kind", KINDS);
    Optional<TripTank> tank = tank(f.in("tank"));
    Optional<String> vehicle = f.optionalText("vehicle", LONGEST);
    String from = f.text("from", 0, LONGEST);
    String to = f.text("to", 0, LONGEST);
    List<Tank.Load> load = load(f, 1);
    OptionalDouble minutes = f.optional("expectedMinutes", Trip.MINUTES);
    Fields limits = f.in("limits");
    double keep = limits.number("keepMgPerL", TripLimits.FLOOR);
    double critical = limits.number("criticalMgPerL", TripLimits.FLOOR);
    double upper = limits.number("upperPercent", TripLimits.UPPER);
    limits.noOthers();
    if (critical > keep) {
      limits.wrong("criticalMgPerL", "at most the keep floor, " + keep, "mg/L");
    }
    OptionalDouble bar = f.optional("cylinderBar", Trip.CYLINDER_BAR);
    Optional<TripPlan> plan = f.has("plan") ? Optional.of(plan(f.in("plan"))) : Optional.empty();
    Optional<String> record = f.optionalText(RECORD, LONGEST);
    List<String> others = others(f);
    f.noOthers();
    if (f.faults().size() > before || tank.isEmpty()) {
      return Optional.empty();
    }
    return Optional.of(
        new Trip(
            id,
            kind,
            tank.get(),
            vehicle,
            from,
            to,
            load,
            minutes,
            new TripLimits(keep, critical, upper),
            bar,
            plan,
            record,
            others));
  }

  /** The movement records of the other kinds of a mixed load. */
  static List<String> others(Fields f) {
    List<String> others = f.texts(OTHERS, MOST_KINDS, LONGEST);
    if (!others.isEmpty() && !f.has(RECORD)) {
      f.wrong(RECORD, "the first of the movement records, where there are others", "");
    }
    return others;
  }

  /** The fish; a kind that is given twice is joined, and must still be what one can be. */
  static List<Tank.Load> load(Fields f, int least) {
    List<Tank.Load> given = f.each("load", least, MOST_KINDS).stream().map(TripForm::load).toList();
    List<Tank.Load> load = Stocking.joined(given);
    for (Tank.Load kind : load) {
      if (kind.kg() > Trip.KG.high() || kind.count().orElse(1) > MOST_FISH) {
        f.wrong(
            "load",
            "of one kind at most %.0f kg and %d fish".formatted(Trip.KG.high(), MOST_FISH),
            "");
      }
    }
    return load;
  }

  private static Tank.Load load(Fields l) {
    Tank.Load load =
        new Tank.Load(
            l.word("species", EntryForm.SPECIES),
            l.number("kg", Trip.KG),
            l.count("count", 1, MOST_FISH),
            l.has("since") ? Optional.of(l.time("since")) : Optional.empty());
    l.noOthers();
    double each = load.meanMassKg();
    if (!(each >= OxygenDemand.LIGHTEST_KG && each <= OxygenDemand.HEAVIEST_KG)) {
      l.wrong(
          "count",
          "such that a fish is %s–%s kg"
              .formatted(OxygenDemand.LIGHTEST_KG, OxygenDemand.HEAVIEST_KG),
          "");
    }
    return load;
  }

  private static Optional<TripTank> tank(Fields t) {
    int before = t.faults().size();
    String id = t.id("id");
    String name = t.text("name", 1, LONGEST);
    double water = t.number("waterLitres", TripTank.WATER);
    double depth = t.number("depthM", TripTank.DEPTH);
    Fields s = t.in("supply");
    Optional<Tank.Cylinder> cylinder = Optional.empty();
    if (s.has("cylinder")) {
      Fields c = s.in("cylinder");
      cylinder =
          Optional.of(
              new Tank.Cylinder(
                  c.number("waterLitres", CYLINDER_LITRES),
                  c.number("fullBar", Trip.CYLINDER_BAR)));
      c.noOthers();
    }
    Tank.Supply supply =
        new Tank.Supply(
            s.word("gas", GASES),
            s.word("source", SOURCES),
            s.word("diffuser", DIFFUSERS),
            s.number("flowLPerMin", TripTank.FLOW),
            cylinder,
            s.optionalText("sharedSource", LONGEST),
            s.optional("pausesMinutes", PAUSES_MINUTES));
    s.noOthers();
    TripTank.Surface surface = t.word("surface", SURFACES);
    double pressure = t.number("airPressureKPa", TripTank.PRESSURE);
    double takes = t.number("waterTakesMgPerLPerHour", TripTank.WATER_TAKES);
    double salt = t.optional("saltGPerKg", TripTank.SALT).orElse(0.0);
    double fresh = t.optional("freshLPerHour", TripTank.FRESH).orElse(0.0);
    t.noOthers();
    return t.faults().size() > before
        ? Optional.empty()
        : Optional.of(
            new TripTank(id, name, water, depth, supply, surface, pressure, takes, salt, fresh));
  }

  private static TripPlan plan(Fields p) {
    TripPlan plan =
        new TripPlan(
            p.band("demandMgPerKgPerHour", RATE),
            p.band("lowestMgPerL", MG_PER_L),
            p.band("gasLitres", LITRES),
            p.optional("flowLPerMin", TripTank.FLOW),
            p.number("reserveBar", Trip.CYLINDER_BAR),
            p.number("temperatureC", StopCheck.TEMPERATURE),
            p.number("minutes", Trip.MINUTES));
    p.noOthers();
    return plan;
  }
}
