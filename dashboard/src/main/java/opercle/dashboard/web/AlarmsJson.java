// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmGap;
import opercle.analysis.alarm.AlarmGuide;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmVerdict;
import opercle.analysis.alarm.FirstAction;
import opercle.analysis.book.RecordedEvent;
import opercle.analysis.figures.AlarmFigures;
import opercle.analysis.figures.FigureTable;
import opercle.analysis.figures.Occurrence;
import opercle.analysis.figures.Row;
import opercle.analysis.figures.Waking;
import opercle.analysis.publish.WatchJson;

/** Past alarms as JSON. Pure; for any thread. */
final class AlarmsJson {

  private static final JsonNodeFactory NODES = JsonNodeFactory.instance;

  private AlarmsJson() {}

  static ObjectNode history(
      Instant from,
      Instant to,
      List<RecordedEvent> page,
      boolean more,
      List<AlarmVerdict> verdicts,
      List<AlarmGap> gaps,
      boolean takesVerdicts) {
    ObjectNode node = NODES.objectNode();
    node.put("from", from.toString());
    node.put("to", to.toString());
    node.put("takesVerdicts", takesVerdicts);
    ArrayNode events = node.putArray("events");
    page.forEach(recorded -> events.add(event(recorded)));
    if (more) {
      RecordedEvent last = page.get(page.size() - 1);
      node.put("next", last.event().time() + "_" + last.number());
    }
    ArrayNode said = node.putArray("verdicts");
    for (AlarmVerdict verdict : verdicts) {
      alarm(said.addObject(), verdict.alarm(), verdict.since())
          .put("wasTrue", verdict.wasTrue())
          .put("by", verdict.by())
          .put("time", WatchJson.time(verdict.time()));
    }
    ArrayNode missing = node.putArray("missing");
    for (AlarmGap gap : gaps) {
      missing
          .addObject()
          .put("first", WatchJson.time(gap.first()))
          .put("last", WatchJson.time(gap.last()))
          .put("events", gap.events());
    }
    return node;
  }

  /** What people did at one tank in a span, in order of time. */
  static ObjectNode events(String tank, Span span, Optional<List<TankDeed>> deeds) {
    ObjectNode node = NODES.objectNode();
    node.put("tank", tank);
    node.put("from", span.from().toString());
    node.put("to", span.to().toString());
    node.put("kept", deeds.isPresent());
    ArrayNode all = node.putArray("events");
    for (TankDeed deed : deeds.orElse(List.of())) {
      ObjectNode e = all.addObject();
      e.put("time", WatchJson.time(deed.time()));
      e.put("kind", deed.kind());
      deed.by().ifPresent(by -> e.put("by", by));
      deed.words().ifPresent(words -> e.put("words", words));
      deed.writtenLater().ifPresent(at -> e.put("writtenDown", WatchJson.time(at)));
    }
    return node;
  }

  /** The alarms of one tank in a span, in the order in which they were raised. */
  static ObjectNode ofTank(String tank, Span span, Optional<List<Occurrence>> occurrences) {
    ObjectNode node = NODES.objectNode();
    node.put("tank", tank);
    node.put("from", span.from().toString());
    node.put("to", span.to().toString());
    node.put("kept", occurrences.isPresent());
    ArrayNode alarms = node.putArray("alarms");
    for (Occurrence occurrence : occurrences.orElse(List.of())) {
      ObjectNode a = alarms.addObject();
      a.put("cause", occurrence.alarm().cause().id());
      a.put("since", WatchJson.time(occurrence.since()));
      occurrence.end().ifPresent(end -> a.put("until", WatchJson.time(end)));
      occurrence.events().stream()
          .map(AlarmEvent::priority)
          .min(Comparator.naturalOrder())
          .ifPresent(worst -> a.put("worst", worst.id()));
      a.put("message", occurrence.events().get(0).message());
    }
    return node;
  }

  /** The event just as it went out over MQTT. */
  private static JsonNode event(RecordedEvent recorded) {
    return Json.read(WatchJson.alarm(recorded.event()).getBytes(StandardCharsets.UTF_8));
  }

  private static ObjectNode alarm(ObjectNode node, AlarmId alarm, Instant since) {
    return node.put("tank", alarm.tank())
        .put("cause", alarm.cause().id())
        .put("since", WatchJson.time(since));
  }

  static ObjectNode figures(AlarmFigures figures) {
    ObjectNode node = NODES.objectNode();
    node.put("week", figures.week().id());
    node.put("before", figures.week().before().id());
    node.put("after", figures.week().after().id());
    node.put("from", figures.week().start().toString());
    node.put("to", figures.week().end().toString());
    node.put("until", figures.until().toString());
    ArrayNode rows = node.putArray("rows");
    for (Row row : FigureTable.of(figures)) {
      rows.addObject()
          .put("id", row.id())
          .put("measure", row.measure())
          .put("value", row.value())
          .put("expected", row.expected())
          .put("source", row.source())
          .put("verdict", row.verdict().id());
    }
    ArrayNode frequent = node.putArray("mostFrequent");
    for (AlarmFigures.Frequent f : figures.mostFrequent()) {
      frequent
          .addObject()
          .put("tank", f.alarm().tank())
          .put("cause", f.alarm().cause().id())
          .put("calls", f.calls())
          .put("share", Json.rounded(f.share()));
    }
    ArrayNode wakings = node.putArray("wakings");
    for (Waking waking : figures.wakings()) {
      ObjectNode w = wakings.addObject();
      w.put("time", WatchJson.time(waking.time()));
      w.put("was", words(waking.was()));
      ArrayNode alarms = w.putArray("alarms");
      waking.alarms().forEach(o -> alarm(alarms.addObject(), o.alarm(), o.since()));
    }
    ArrayNode standing = node.putArray("standing");
    for (Occurrence occurrence : figures.standing()) {
      alarm(standing.addObject(), occurrence.alarm(), occurrence.since());
    }
    return node;
  }

  private static String words(Waking.Was was) {
    return switch (was) {
      case TRUE -> "true";
      case FALSE -> "false";
      case NOT_SAID -> "not-said";
    };
  }

  /** By cause: what each alarm means and what to do. */
  static ObjectNode guide() {
    ObjectNode node = NODES.objectNode();
    for (AlarmGuide guide : AlarmGuide.all()) {
      ObjectNode g = node.putObject(guide.cause().id());
      g.put("title", guide.title());
      ArrayNode causes = g.putArray("causes");
      guide.causes().forEach(causes::add);
      g.put("ifIgnored", guide.ifIgnored());
      ArrayNode actions = g.putArray("actions");
      guide.actions().stream().map(FirstAction::sentence).forEach(actions::add);
      g.put("toBeSure", guide.toBeSure());
      g.put("timeAvailable", guide.timeAvailable());
      g.put("priorityRule", guide.priorityRule());
      g.put("setPoint", guide.setPoint());
      g.put("delays", guide.delays());
      g.put("latches", guide.latches());
    }
    return node;
  }
}
