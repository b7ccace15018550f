// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.ValidRange;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;

/** Alarm events in a trip's file: whole, so that they are the same when they come back. */
final class AlarmForm {

  private static final Map<String, AlarmCause> CAUSES =
      EntryForm.words(AlarmCause.values(), AlarmCause::id);
  private static final Map<String, AlarmEvent.Kind> KINDS =
      EntryForm.words(AlarmEvent.Kind.values(), AlarmEvent.Kind::id);
  private static final Map<String, Priority> PRIORITIES =
      EntryForm.words(Priority.values(), Priority::id);
  private static final Map<String, AlarmState> STATES =
      EntryForm.words(AlarmState.values(), AlarmState::id);
  private static final ValidRange MINUTES = new ValidRange("", "", 0.0, 1.0e9, "min");
  private static final ValidRange OXYGEN = new ValidRange("", "", -1.0, 100.0, "mg/L");
  private static final int MOST_TANKS = 500;

  private AlarmForm() {}

  static ObjectNode write(AlarmEvent e) {
    ObjectNode node = EntryForm.JSON.createObjectNode();
    node.put("time", e.time().toString())
        .put("cause", e.cause().id())
        .put("event", e.event().id())
        .put("priority", e.priority().id())
        .put("state", e.state().id())
        .put("message", e.message())
        .put("since", e.since().toString())
        .put("annunciated", e.annunciated());
    put(node, "timeInHandMinutes", e.timeInHandMinutes());
    put(node, "oxygenMgPerL", e.oxygenMgPerL());
    e.by().ifPresent(by -> node.put("by", by));
    e.until().ifPresent(until -> node.put("until", until.toString()));
    e.root()
        .ifPresent(
            root ->
                node.putObject("root").put("tank", root.tank()).put("cause", root.cause().id()));
    if (!e.tanks().isEmpty()) {
      var tanks = node.putArray("tanks");
      e.tanks().forEach(tanks::add);
    }
    return node;
  }

  private static void put(ObjectNode node, String name, OptionalDouble value) {
    if (value.isPresent() && Double.isFinite(value.getAsDouble())) {
      node.put(name, value.getAsDouble());
    }
  }

  static Optional<AlarmEvent> read(Fields f, String tank) {
    int before = f.faults().size();
    Instant time = f.time("time");
    AlarmCause cause = f.word("cause", CAUSES);
    AlarmEvent.Kind event = f.word("event", KINDS);
    Priority priority = f.word("priority", PRIORITIES);
    AlarmState state = f.word("state", STATES);
    String message = f.text("message", 0, 2000);
    Instant since = f.time("since");
    boolean annunciated = f.flag("annunciated");
    OptionalDouble minutes = f.optional("timeInHandMinutes", MINUTES);
    OptionalDouble oxygen = f.optional("oxygenMgPerL", OXYGEN);
    Optional<String> by = f.optionalText("by", 200);
    Optional<Instant> until = f.has("until") ? Optional.of(f.time("until")) : Optional.empty();
    Optional<AlarmId> root = Optional.empty();
    if (f.has("root")) {
      Fields r = f.in("root");
      root = Optional.of(new AlarmId(r.id("tank"), r.word("cause", CAUSES)));
      r.noOthers();
    }
    List<String> tanks = f.ids("tanks", MOST_TANKS);
    f.noOthers();
    return f.faults().size() > before
        ? Optional.empty()
        : Optional.of(
            new AlarmEvent(
                time,
                tank,
                cause,
                event,
                priority,
                state,
                minutes,
                oxygen,
                message,
                since,
                annunciated,
                by,
                until,
                root,
                tanks));
  }
}
