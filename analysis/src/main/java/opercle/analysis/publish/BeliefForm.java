// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.watch.Belief;
import opercle.analysis.watch.TankChecks.Supply;
import opercle.analysis.watch.TankChecks.Trust;

/** What the watch makes of probes and meters, to and from the JSON of a tank state. */
final class BeliefForm {

  private BeliefForm() {}

  /** As {@code belief} of the object that is being written. */
  static void write(JsonGenerator g, Belief belief) throws IOException {
    g.writeObjectFieldStart("belief");
    g.writeArrayFieldStart("probes");
    for (Belief.OfProbe p : belief.probes()) {
      g.writeStartObject();
      g.writeStringField("probe", p.probe());
      g.writeStringField("trust", p.trust().id());
      if (p.why().isPresent()) {
        g.writeStringField("why", p.why().get());
      }
      time(g, "time", Optional.of(p.at()));
      time(g, "doubtedAt", p.doubtedAt());
      g.writeEndObject();
    }
    g.writeEndArray();
    g.writeArrayFieldStart("meters");
    for (Belief.OfMeter m : belief.meters()) {
      g.writeStartObject();
      g.writeStringField("measures", m.measures().id());
      g.writeStringField("probe", m.probe());
      g.writeNumberField("value", rounded(m.value()));
      g.writeNumberField("usual", rounded(m.usual()));
      g.writeStringField("says", m.says().id());
      time(g, "time", Optional.of(m.at()));
      time(g, "since", m.since());
      g.writeEndObject();
    }
    g.writeEndArray();
    g.writeEndObject();
  }

  /** What an older program does not say, or says in words that are not known here, is left out. */
  static Belief read(JsonNode json) {
    List<Belief.OfProbe> probes = new ArrayList<>();
    for (JsonNode p : json.path("probes")) {
      time(p, "time")
          .ifPresent(
              at ->
                  probes.add(
                      new Belief.OfProbe(
                          p.path("probe").asText(""),
                          Trust.of(text(p, "trust")),
                          text(p, "why"),
                          at,
                          time(p, "doubtedAt"))));
    }
    List<Belief.OfMeter> meters = new ArrayList<>();
    for (JsonNode m : json.path("meters")) {
      time(m, "time")
          .ifPresent(
              at ->
                  meters.add(
                      new Belief.OfMeter(
                          "pressure".equals(m.path("measures").asText(""))
                              ? Belief.Measures.PRESSURE
                              : Belief.Measures.FLOW,
                          m.path("probe").asText(""),
                          m.path("value").asDouble(),
                          m.path("usual").asDouble(),
                          Supply.of(text(m, "says")),
                          at,
                          time(m, "since"))));
    }
    return new Belief(probes, meters);
  }

  private static void time(JsonGenerator g, String key, Optional<Instant> time) throws IOException {
    if (time.isPresent()) {
      g.writeStringField(key, WatchJson.time(time.get()));
    }
  }

  private static Optional<String> text(JsonNode json, String key) {
    JsonNode value = json.path(key);
    return value.isTextual() ? Optional.of(value.textValue()) : Optional.empty();
  }

  private static Optional<Instant> time(JsonNode json, String key) {
    try {
      return text(json, key).map(Instant::parse);
    } catch (DateTimeException e) {
      return Optional.empty();
    }
  }

  private static double rounded(double value) {
    return Math.round(value * 100.0) / 100.0;
  }
}
