// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank;
import opercle.analysis.plan.MeasuredRate;
import opercle.analysis.publish.WatchJson;
import opercle.analysis.setup.TankOffer;
import opercle.analysis.trip.Failure;
import opercle.analysis.trip.PastDemand;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.EntryForm;
import opercle.dashboard.trips.TripReport;

/** Trips and their reviews as JSON. Stateless. */
final class TripsJson {

  private static final JsonNodeFactory NODES = JsonNodeFactory.instance;

  private TripsJson() {}

  /** A list of trips with the figures to compare them by. */
  static ObjectNode list(
      List<Review> reviews, boolean more, boolean takesEntries, List<TripPapers.ToGo> movements) {
    ObjectNode node = NODES.objectNode();
    ArrayNode trips = node.putArray("trips");
    reviews.forEach(review -> trips.add(brief(review)));
    node.put("more", more);
    node.put("takesEntries", takesEntries);
    ArrayNode toGo = node.putArray("movements");
    for (TripPapers.ToGo movement : movements) {
      ObjectNode one = toGo.addObject().put("id", movement.id()).put("title", movement.title());
      movement.species().ifPresent(s -> one.put("species", s.id()));
      movement.prompts().forEach(one.putArray("prompts")::add);
      ObjectNode aboard = one.putObject("aboard");
      movement.aboard().forEach((tank, lacks) -> lacks.forEach(aboard.putArray(tank)::add));
    }
    return node;
  }

  private static ObjectNode brief(Review review) {
    TripLog log = review.log();
    Trip trip = log.trip();
    ObjectNode node = NODES.objectNode();
    node.put("id", trip.id()).put("kind", trip.kind().id());
    node.put("tank", trip.tank().id()).put("tankName", trip.tank().name());
    trip.vehicle().ifPresent(v -> node.put("vehicle", v));
    node.put("from", trip.from()).put("to", trip.to());
    node.put("loaded", WatchJson.time(log.from()));
    log.unloaded().ifPresent(out -> node.put("unloaded", WatchJson.time(out.time())));
    log.withdrawn()
        .ifPresent(
            gone ->
                node.putObject("withdrawn")
                    .put("time", WatchJson.time(gone.time()))
                    .put("by", gone.by())
                    .put("why", gone.why()));
    node.put("minutes", minutes(review.length()));
    load(node.putArray("load"), trip.load());
    node.put("checks", log.checks().size());
    node.put(
        "losses",
        log.unloaded()
            .map(u -> u.losses().stream().mapToInt(l -> l.count().orElse(0)).sum())
            .orElse(0));
    double weighedKg =
        log.unloaded().stream()
            .flatMap(u -> u.losses().stream())
            .filter(l -> l.count().isEmpty())
            .mapToDouble(l -> l.kg().orElse(0.0))
            .sum();
    if (weighedKg > 0.0) {
      node.put("lossesKg", Json.rounded(weighedKg));
    }
    lossesByKind(node, log.unloaded().map(TripEntry.Unloaded::losses).orElse(List.of()));
    figures(node, review);
    return node;
  }

  private static void load(ArrayNode node, List<Tank.Load> load) {
    for (Tank.Load l : load) {
      ObjectNode one = node.addObject();
      one.put("species", l.species().id())
          .put("name", l.species().commonName())
          .put("kg", Json.rounded(l.kg()));
      l.count().ifPresent(n -> one.put("count", n));
    }
  }

  /** What the record of a trip's tank says and could say. */
  static ObjectNode offer(TankOffer offer) {
    ObjectNode node = NODES.objectNode();
    node.put("entry", offer.entry()).put("basedOn", offer.version());
    node.put("tankName", offer.tank().name());
    load(node.putArray("now"), offer.tank().loads());
    load(node.putArray("then"), offer.then());
    return node;
  }

  private static void lossesByKind(ObjectNode node, List<TripEntry.Loss> losses) {
    if (!losses.isEmpty()) {
      ArrayNode kinds = node.putArray("lossesByKind");
      for (TripEntry.Loss loss : losses) {
        ObjectNode one = kinds.addObject();
        one.put("species", loss.species().id()).put("name", loss.species().commonName());
        loss.count().ifPresent(n -> one.put("count", n));
        Json.put(one, "kg", loss.kg());
      }
    }
  }

  private static void figures(ObjectNode node, Review review) {
    review
        .oxygen()
        .ifPresent(
            o -> {
              node.put("lowestMgPerL", Json.rounded(o.lowestMgPerL()));
              node.put("lowestAt", WatchJson.time(o.lowestAt()));
              node.put("belowKeepMinutes", minutes(o.belowKeep()));
              node.put("belowCriticalMinutes", minutes(o.belowCritical()));
              node.put("aboveUpperMinutes", minutes(o.aboveUpper()));
              node.put("unknownMinutes", minutes(o.unknown()));
            });
    Json.put(node, "gasLitres", review.gas().usedLitres());
    Json.put(node, "cylinderBarAtEnd", review.gas().barAtEnd());
    review
        .demand()
        .ifPresent(
            d -> {
              band(node, "demandMgPerKgPerHour", d.mgPerKgPerHour());
              node.put("temperatureC", Json.rounded(d.temperatureC()));
              node.put("demandMeasured", d.way().words());
            });
    review.failure().ifPresent(f -> node.set("failure", failure(f)));
    if (review.failures().size() > 1) {
      ArrayNode all = node.putArray("failures");
      review.failures().forEach(f -> all.add(failure(f)));
    }
  }

  private static ObjectNode failure(Failure f) {
    ObjectNode failure = NODES.objectNode();
    failure.put("time", WatchJson.time(f.at()));
    failure.put("toleranceSeconds", f.tolerance().toSeconds());
    f.toldAt().ifPresent(t -> failure.put("toldAt", WatchJson.time(t)));
    return failure;
  }

  /** One trip, with all that was written, its review in figures and its report in words. */
  static ObjectNode whole(
      Review review,
      TripReport report,
      boolean takesEntries,
      Set<String> withPicture,
      Optional<TankOffer> offer) {
    ObjectNode node = brief(review);
    TripLog log = review.log();
    node.put("takesEntries", takesEntries);
    offer.ifPresent(o -> node.set("tankLoad", offer(o)));
    node.put("until", WatchJson.time(review.to()));
    ArrayNode entries = node.putArray("entries");
    log.entries().forEach(e -> entries.add(EntryForm.write(e)));
    ArrayNode checks = node.putArray("checksInForce");
    log.checks().stream().map(StopCheck::id).forEach(checks::add);
    ArrayNode photos = node.putArray("photos");
    withPicture.forEach(photos::add);
    ArrayNode lessons = node.putArray("lessons");
    review
        .lessons()
        .forEach(
            l ->
                lessons
                    .addObject()
                    .put("words", l.words())
                    .put("value", Json.rounded(l.value()))
                    .put("unit", l.unit()));
    review.earlier().ifPresent(rate -> node.set("earlier", rate(rate)));
    node.set("report", report(report));
    return node;
  }

  private static ObjectNode report(TripReport report) {
    ObjectNode node = NODES.objectNode();
    node.put("title", report.title()).put("subtitle", report.subtitle());
    ArrayNode sections = node.putArray("sections");
    for (TripReport.Section section : report.sections()) {
      ObjectNode one = sections.addObject().put("heading", section.heading());
      ArrayNode facts = one.putArray("facts");
      section
          .facts()
          .forEach(f -> facts.addObject().put("label", f.label()).put("words", f.words()));
      ArrayNode table = one.putArray("table");
      section
          .table()
          .forEach(
              row -> {
                ArrayNode cells = table.addArray();
                row.forEach(cells::add);
              });
      ArrayNode lines = one.putArray("lines");
      section.lines().forEach(lines::add);
    }
    return node;
  }

  /** What each trip taught, and the rate that was asked for; without one where no trip counts. */
  static ObjectNode rates(List<PastDemand> past, Optional<MeasuredRate> rate) {
    ObjectNode node = NODES.objectNode();
    node.put("type", "measured-rates");
    ArrayNode trips = node.putArray("trips");
    for (PastDemand d : past) {
      ObjectNode one = trips.addObject();
      one.put("trip", d.trip());
      one.put("time", WatchJson.time(d.at()));
      one.put("species", d.species().id());
      one.put("meanMassKg", d.meanMassKg());
      one.put("temperatureC", Json.rounded(d.temperatureC()));
      one.put("measured", d.way().words());
      band(one, "mgPerKgPerHour", d.mgPerKgPerHour());
    }
    rate.ifPresent(r -> node.set("rate", rate(r)));
    return node;
  }

  private static ObjectNode rate(MeasuredRate rate) {
    ObjectNode node = NODES.objectNode();
    band(node, "mgPerKgPerHour", rate.mgPerKgPerHour());
    node.put("temperatureC", Json.rounded(rate.temperatureC()));
    node.put("trips", rate.trips());
    return node;
  }

  private static void band(ObjectNode node, String name, Band band) {
    node.putObject(name)
        .put("low", Json.rounded(band.low()))
        .put("likely", Json.rounded(band.likely()))
        .put("high", Json.rounded(band.high()));
  }

  private static double minutes(Duration length) {
    return Json.rounded(length.toMillis() / 60_000.0);
  }
}
