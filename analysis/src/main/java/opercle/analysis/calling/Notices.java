// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import opercle.analysis.alarm.Priority;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.calling.CallingState.Occurrence;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;

/** What is not urgent, in one turn: told once, by day or in the morning. One thread, once. */
final class Notices {

  private final CallingPlan plan;
  private final Instant at;
  private final Map<String, Occurrence> alarms;
  private final MorningList morning;
  private final Outbox outbox;
  private final Escalation escalation;

  /**
   * Tells of these.
   *
   * @param alarms by occurrence; what was told is noted in it
   */
  Notices(
      CallingPlan plan,
      CallingState state,
      Instant at,
      Map<String, Occurrence> alarms,
      Outbox outbox,
      Escalation escalation) {
    this.plan = plan;
    this.at = at;
    this.alarms = alarms;
    this.morning = new MorningList(state);
    this.outbox = outbox;
    this.escalation = escalation;
  }

  /**
   * Tells what is due.
   *
   * @param stands whether a trouble of the monitor stands
   */
  void tell(Predicate<TroubleKey> stands) {
    if (!escalation.isNobodyThere()) { // otherwise told to whoever is named while it still stands
      tellNotices();
      tellMorning(stands);
    }
  }

  /** What no way took by day must wake nobody: it goes onto the morning's list. */
  void holdForTheMorning() {
    if (plan.night().contain(at, plan.zone())) {
      for (Call call : outbox.takeBackNotices()) {
        call.about().stream()
            .map(e -> alarms.get(Occurrence.key(e)))
            .filter(Objects::nonNull)
            .forEach(o -> morning.add(o.event(), nextMorning()));
        call.troubles().forEach(t -> morning.add(t, nextMorning()));
      }
    }
  }

  private void tellNotices() {
    boolean night = plan.night().contain(at, plan.zone());
    List<Occurrence> untold =
        alarms.values().stream()
            .filter(o -> o.event().annunciated() && !o.calling() && !o.told())
            .sorted(Turn.WORST_FIRST)
            .toList();
    for (Occurrence o : untold) {
      String key = o.key();
      alarms.put(key, o.heard(o.event(), false, true));
      if (night || o.event().priority() == Priority.LOW) {
        morning.add(o.event(), nextMorning());
      } else {
        String message = "notice " + key + " " + o.event().time().toEpochMilli();
        firstToTell()
            .filter(p -> outbox.admits(p.name(), message, key))
            .ifPresent(
                p -> outbox.tell(p, Kind.NOTICE, key, message, About.alarms(List.of(o.event()))));
      }
    }
  }

  private Instant nextMorning() {
    return new TestTimes(plan.morning(), Optional.empty()).nextAfter(at, plan.zone());
  }

  private Optional<Person> firstToTell() {
    return escalation.toTellOnce().stream().findFirst();
  }

  private void tellMorning(Predicate<TroubleKey> stands) {
    Optional<Person> first = firstToTell().filter(p -> outbox.hasRoom(p.name()));
    if (first.isEmpty()) {
      return; // what calls now comes first; the morning's list waits
    }
    About due = morning.takeDue(at, alarms, stands);
    if (!due.isEmpty()) {
      String seed = "morning " + outbox.serial();
      String person = first.get().name();
      if (outbox.admits(person, seed, "")) {
        outbox.tell(first.get(), Kind.MORNING, "", seed, due);
      }
    }
  }

  /** Tells troubles of the monitor once. */
  void once(List<MonitorCause> causes, boolean inTheMorning) {
    if (causes.isEmpty()) {
      return;
    }
    List<MonitorTrouble> troubles = causes.stream().flatMap(c -> c.troubles().stream()).toList();
    String message =
        "notice " + causes.stream().map(MonitorCause::key).collect(Collectors.joining(" "));
    Optional<Person> now =
        firstToTell()
            .filter(p -> !inTheMorning && !plan.night().contain(at, plan.zone()))
            .filter(p -> outbox.admits(p.name(), message, causes.get(0).key()));
    if (now.isPresent()) {
      outbox.tell(now.get(), Kind.NOTICE, "", message, About.troubles(troubles));
    } else {
      troubles.forEach(t -> morning.add(t, nextMorning()));
    }
  }

  /** What waits for the morning. */
  MorningList waiting() {
    return morning;
  }
}
