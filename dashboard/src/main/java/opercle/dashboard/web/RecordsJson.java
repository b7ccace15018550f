// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.LocalDate;
import java.time.Year;
import java.time.ZoneId;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.records.Movement;
import opercle.analysis.records.MovementCheck;
import opercle.analysis.records.Need;
import opercle.analysis.records.Prompt;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.Records;
import opercle.analysis.records.RunsOut;
import opercle.analysis.records.Standing;
import opercle.analysis.records.Trace;

/** The records as JSON. */
final class RecordsJson {

  /**
   * Of so many of a year's newest movements the papers are looked at, a millisecond or two each.
   */
  private static final int LOOKED_AT = 200;

  private RecordsJson() {}

  private static ObjectNode object() {
    return JsonNodeFactory.instance.objectNode();
  }

  /** All but the movements, and what runs out. */
  static ObjectNode all(Records records, LocalDate today, boolean writable) {
    ObjectNode node = object();
    node.put("type", "records");
    node.put("today", today.toString());
    node.put("writable", writable);
    node.put("sourcesCheckedOn", Need.CHECKED_ON.toString());
    ArrayNode entries = node.putArray("entries");
    records.standing(Entry.class).stream()
        .filter(s -> s.entry().kind() != Entry.Kind.MOVEMENT && !s.entry().kind().isOfTank())
        .forEach(s -> entries.add(standing(s)));
    // A movement may name one that was withdrawn, and must still be put right with it in sight.
    ArrayNode gone = node.putArray("withdrawnEntries");
    records.withWithdrawn(Entry.class).stream()
        .filter(Standing::withdrawn)
        .filter(s -> s.entry().kind() != Entry.Kind.MOVEMENT && !s.entry().kind().isOfTank())
        .forEach(
            s ->
                gone.addObject()
                    .put("id", s.id())
                    .put("kind", s.entry().kind().id())
                    .put("title", s.entry().title()));
    node.set("healthRule", Json.tree(EntryFields.of(records.healthRule())));
    ArrayNode ends = node.putArray("runsOut");
    for (RunsOut r : RunsOut.of(records, today)) {
      ObjectNode end = ends.addObject();
      end.put("id", r.id()).put("title", r.title()).put("last", r.last().toString());
      end.put("daysLeft", r.daysLeft()).put("byRule", r.byRule());
      r.about().ifPresent(about -> end.put("about", about));
    }
    return node;
  }

  /** The movements of a year, the newest first, each with every version. */
  static ObjectNode movements(
      Records records,
      Year year,
      ZoneId zone,
      List<Standing<Movement>> movements,
      List<Trace.Overdraw> overdrawn) {
    ObjectNode node = object();
    node.put("type", "movements");
    node.put("year", year.getValue());
    ArrayNode all = node.putArray("movements");
    movements.stream()
        .sorted((a, b) -> b.entry().departs().compareTo(a.entry().departs()))
        .forEach(
            s -> {
              ObjectNode one = movement(records, s, overdrawn);
              if (all.size() >= LOOKED_AT && !s.withdrawn()) {
                one.put("papersNotLookedAt", true);
              } else if (!s.withdrawn()) {
                ArrayNode prompts = one.putArray("prompts");
                MovementCheck.of(records, s.entry(), zone).forEach(p -> prompts.add(p.words()));
              }
              all.add(one);
            });
    return node;
  }

  private static ObjectNode movement(
      Records records, Standing<Movement> s, List<Trace.Overdraw> overdrawn) {
    ObjectNode node = standing(s);
    s.entry().from().ifPresent(id -> node.put("fromName", records.water(id)));
    s.entry().to().ifPresent(id -> node.put("toName", records.water(id)));
    overdrawn.stream()
        .filter(o -> o.movement().equals(s.id()))
        .findFirst()
        .ifPresent(
            o ->
                node.putObject("overdrawn")
                    .put("took", o.took())
                    .put("held", Json.rounded(o.held())));
    return node;
  }

  /** An entry as it stands, with every version. */
  static ObjectNode standing(Standing<? extends Entry> s) {
    ObjectNode node = object();
    node.put("id", s.id());
    node.put("kind", s.entry().kind().id());
    node.put("title", s.entry().title());
    node.put("withdrawn", s.withdrawn());
    node.set("fields", Json.tree(EntryFields.of(s.entry())));
    ArrayNode versions = node.putArray("versions");
    s.versions().forEach(v -> versions.add(version(v)));
    return node;
  }

  private static ObjectNode version(Recorded recorded) {
    ObjectNode node = kept(recorded);
    node.put("by", recorded.by());
    recorded
        .correction()
        .ifPresent(
            c ->
                node.put("corrects", c.corrects())
                    .put("why", c.why())
                    .put("withdraws", c.withdraws()));
    node.put("title", recorded.entry().title());
    node.set("fields", Json.tree(EntryFields.of(recorded.entry())));
    return node;
  }

  /** That an entry is on the disk. */
  static ObjectNode kept(Recorded recorded) {
    return object()
        .put("id", recorded.id())
        .put("number", recorded.number())
        .put("at", recorded.at().toString());
  }

  /** What a movement's papers lack. */
  static ObjectNode prompts(List<Prompt> prompts) {
    ObjectNode node = object();
    node.put("type", "prompts");
    node.put("sourcesCheckedOn", Need.CHECKED_ON.toString());
    ArrayNode all = node.putArray("prompts");
    for (Prompt prompt : prompts) {
      ObjectNode one = all.addObject();
      one.put("need", prompt.need().id()).put("what", prompt.what().id());
      one.put("words", prompt.words());
      one.put("source", prompt.need().source()).put("mark", prompt.need().mark());
      prompt.reference().ifPresent(r -> one.put("reference", r));
      prompt.ends().ifPresent(day -> one.put("ends", day.toString()));
    }
    return node;
  }

  /** A trace, if one was asked for, and what took more than the books hold. */
  static ObjectNode trace(Records records, Optional<Trace> trace, List<Trace.Overdraw> overdrawn) {
    ObjectNode node = object();
    node.put("type", "trace");
    ArrayNode over = node.putArray("overdrawn");
    for (Trace.Overdraw o : overdrawn) {
      over.addObject()
          .put("movement", o.movement())
          .put("water", o.water())
          .put("name", records.water(o.water()))
          .put("took", o.took())
          .put("held", Json.rounded(o.held()));
    }
    trace.ifPresent(t -> node.set("trace", trace(records, t)));
    return node;
  }

  private static ObjectNode trace(Records records, Trace t) {
    ObjectNode node = object();
    node.put("way", t.way().name().toLowerCase(Locale.ROOT));
    node.put("fish", Json.rounded(t.fish()));
    node.put("died", Json.rounded(t.died()));
    node.put("notKnown", Json.rounded(t.notKnown()));
    ArrayNode steps = node.putArray("steps");
    for (Trace.Step step : t.steps()) {
      ObjectNode one = steps.addObject();
      one.put("movement", step.movement());
      one.put("likelyFish", Json.rounded(step.likelyFish())).put("perhaps", step.perhaps());
      records
          .find(Movement.class, step.movement())
          .map(Standing::entry)
          .ifPresent(
              m -> {
                one.put("title", m.title());
                one.put("departs", m.departs().toString()).put("arrives", m.arrives().toString());
                m.from().ifPresent(id -> one.put("fromName", records.water(id)));
                m.to().ifPresent(id -> one.put("toName", records.water(id)));
              });
    }
    ArrayNode ends = node.putArray("ends");
    for (Trace.End end : t.ends()) {
      ends.addObject()
          .put("water", end.water())
          .put("name", records.water(end.water()))
          .put("species", end.species())
          .put("likelyFish", Json.rounded(end.likelyFish()))
          .put("perhaps", end.perhaps());
    }
    return node;
  }
}
