// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.calling.CallingState.Occurrence;
import opercle.analysis.monitor.MonitorTrouble;

/**
 * What a person could not be told one by one, because it would have been too much: it is told
 * together, or when there is room. For one turn.
 */
final class Backlog {

  private final Map<String, Occurrence> alarms;
  private final MonitorTurn monitor;
  private final Outbox outbox;

  Backlog(Map<String, Occurrence> alarms, MonitorTurn monitor, Outbox outbox) {
    this.alarms = alarms;
    this.monitor = monitor;
    this.outbox = outbox;
  }

  /** Tells a person what they may be told of it now. */
  void tell(Person person) {
    tellSettled(person);
    tellTogether(person);
  }

  /**
   * One message, by all of the person's channels. The first channel has had the worst one by one;
   * the others have not had their turn yet, so that theirs says all that calls.
   */
  private void tellTogether(Person person) {
    List<String> folded =
        outbox.folded(
            person.name(), this::callsSomebody, key -> settledKind(key, person).isPresent());
    if (about(folded).isEmpty()) {
      return;
    }
    Set<String> all = new LinkedHashSet<>(folded);
    outbox.heardOf(person.name()).stream().filter(this::callsSomebody).forEach(all::add);
    String seed = "more " + outbox.serial();
    for (String channel : person.channels()) {
      boolean isFirst = channel.equals(person.channels().get(0));
      Target target = new Target(person.name(), channel);
      outbox.make(target, Kind.MORE, "", seed, 1, about(isFirst ? folded : List.copyOf(all)));
    }
  }

  private About about(List<String> keys) {
    List<AlarmEvent> worst =
        keys.stream()
            .flatMap(key -> Optional.ofNullable(alarms.get(key)).stream())
            .sorted(Turn.WORST_FIRST)
            .map(Occurrence::event)
            .toList();
    List<MonitorTrouble> troubles =
        keys.stream().flatMap(key -> monitor.troubles(key).stream()).toList();
    return About.of(worst, troubles);
  }

  private void tellSettled(Person person) {
    for (String key : outbox.waitingFor(person.name())) {
      Optional<Kind> kind = callsSomebody(key) ? Optional.empty() : settledKind(key, person);
      if (kind.isEmpty()) {
        continue;
      }
      Occurrence alarm = alarms.get(key);
      String message =
          alarm != null ? settledMessage(kind.get(), alarm, alarm.event()) : kind.get() + " " + key;
      if (outbox.admits(person.name(), message, key)) {
        About about = alarm != null ? settled(alarm.event()) : monitor.about(key);
        outbox.tell(person, kind.get(), key, message, about);
        outbox.unfold(person.name(), key);
      }
    }
  }

  /** That it is settled, and how; empty where it is not, or where they need not be told. */
  private Optional<Kind> settledKind(String key, Person person) {
    Occurrence alarm = alarms.get(key);
    if (alarm == null) {
      return monitor.settled(key, person.name());
    }
    Optional<String> by = alarm.event().by();
    if (!alarm.called().contains(person.name())
        || by.map(person.name()::equalsIgnoreCase).orElse(false)) {
      return Optional.empty();
    }
    return by.isPresent()
        ? Optional.of(Kind.TAKEN)
        : Optional.of(Kind.ENDED).filter(k -> Occurrence.hasEnded(alarm.event()));
  }

  /** Whether it still calls for a person. */
  boolean callsSomebody(String key) {
    Occurrence o = alarms.get(key);
    return (o != null && o.event().annunciated()) || monitor.calls(key);
  }

  /** Names the message that an alarm is settled: the same again is told once. */
  static String settledMessage(Kind kind, Occurrence known, AlarmEvent event) {
    return "%s %s %d.%d".formatted(kind, known.key(), known.episode(), event.time().toEpochMilli());
  }

  /** What that message is about. */
  static About settled(AlarmEvent event) {
    return About.alarms(List.of(event)).by(event.by());
  }
}
