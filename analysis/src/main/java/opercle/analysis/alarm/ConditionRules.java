// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import static opercle.analysis.alarm.Worsening.elapsed;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import opercle.analysis.alarm.AlarmEvent.Kind;

/**
 * What a condition that is present, or absent, makes of its alarm: those rows of the table of
 * {@link AlarmBook} that nobody's act is needed for. Pure: the alarm as it was in, as it is out.
 */
final class ConditionRules {

  private ConditionRules() {}

  /**
   * What follows.
   *
   * @param entry the alarm as it is now
   * @param news what there is to tell; empty for nothing
   */
  record Next(AlarmEntry entry, Optional<Kind> news) {}

  /**
   * A condition is present of which no alarm stood as present.
   *
   * @param old what is left of an earlier one: latched, unacknowledged, put aside
   */
  static Next raised(
      Instant now,
      Optional<AlarmEntry> old,
      Finding finding,
      Optional<AlarmId> root,
      List<String> tanks) {
    AlarmEntry raised =
        AlarmEntry.raised(now, finding)
            .root(root)
            .tanks(tanks)
            .shelf(old.flatMap(o -> shelfLeft(o, finding, now)))
            .done();
    return new Next(raised, Optional.of(Kind.RAISED));
  }

  /** Somebody put aside what they knew of: not what comes back worse. */
  private static Optional<Pause> shelfLeft(AlarmEntry old, Finding finding, Instant now) {
    boolean worse = finding.priority().compareTo(old.finding().priority()) < 0;
    return old.shelf().filter(shelf -> !worse && !outlasts(shelf, finding, now));
  }

  /** The condition of a standing alarm is still present. */
  static Next present(
      Instant now,
      AlarmEntry old,
      Finding finding,
      Optional<AlarmId> root,
      List<String> tanks,
      Optional<AlarmEntry> over) {
    Priority held = old.finding().priority();
    AlarmEntry.Change next =
        old.change().absent(Optional.empty()).lower(Optional.empty()).root(root);
    if (over.isPresent()
        && old.state() == AlarmState.UNACKNOWLEDGED
        && old.root().isPresent()
        && root.isEmpty()) {
      next.had(AlarmState.ACKNOWLEDGED, over.get().acknowledgedBy())
          .checked(over.get().checkedSince().orElse(now), finding.timeInHandMinutes());
      return told(now, Kind.UNSUPPRESSED, next.finding(finding).tanks(tanks));
    }
    if (finding.priority().compareTo(held) < 0) {
      next.open(AlarmState.UNACKNOWLEDGED).shelf(Optional.empty());
      return told(now, Kind.ESCALATED, next.finding(finding).tanks(tanks));
    }
    Finding found = finding;
    if (finding.priority() != held) {
      Instant since = running(old.lowerSince(), now);
      next.lower(Optional.of(since));
      if (!elapsed(Worsening.LOWER_PRIORITY_AFTER, since, now)) {
        found = finding.with(held);
      }
    }
    Optional<Kind> news = news(now, old, next, found, root, tanks);
    if (news.isPresent()) {
      if (found.priority() != held) {
        next.lower(Optional.empty());
      }
      return told(now, news.get(), next.finding(found).tanks(tanks));
    }
    // An untold gist must stay different from the told one, or the news would be lost.
    next.finding(found.with(held).withGist(old.finding().gist()));
    if (Worsening.areSame(tanks, old.tanks())) {
      next.tanks(tanks); // the least time first, as in the words
    }
    return new Next(next.done(), Optional.empty());
  }

  private static Next told(Instant now, Kind news, AlarmEntry.Change next) {
    return new Next(next.told(now).done(), Optional.of(news));
  }

  /** What there is to tell of an alarm that is no more urgent than it was. */
  private static Optional<Kind> news(
      Instant now,
      AlarmEntry old,
      AlarmEntry.Change next,
      Finding finding,
      Optional<AlarmId> root,
      List<String> tanks) {
    if (old.shelf().isPresent() && outlasts(old.shelf().get(), finding, now)) {
      next.open(AlarmState.UNACKNOWLEDGED).shelf(Optional.empty());
      return Optional.of(Kind.UNSHELVED);
    }
    if (!root.equals(old.root())) {
      return Optional.of(root.isPresent() ? Kind.SUPPRESSED : Kind.UNSUPPRESSED);
    }
    if (old.state() == AlarmState.ACKNOWLEDGED && root.isEmpty() && old.shelf().isEmpty()) {
      if (Worsening.callsAgain(old, finding, now)) {
        next.open(AlarmState.UNACKNOWLEDGED);
        return Optional.of(Kind.RE_ALARMED);
      }
      if (Worsening.isGivenAnew(old, now)) {
        next.checked(now, finding.timeInHandMinutes());
      }
    }
    return Worsening.isNews(old, finding, tanks, now)
        ? Optional.of(Kind.CHANGED)
        : Optional.empty();
  }

  private static boolean outlasts(Pause shelf, Finding finding, Instant now) {
    double left = Duration.between(now, shelf.until()).toMillis() / 60_000.0;
    return finding.timeInHandMinutes().isPresent()
        && finding.timeInHandMinutes().getAsDouble() < left;
  }

  /** The condition of a standing alarm is absent: it clears once that has lasted. */
  static Next absent(Instant now, AlarmEntry old, Supplier<Finding> allClear) {
    AlarmRule rule = AlarmRule.of(old.finding().cause());
    Instant since = running(old.absentSince(), now);
    if (!elapsed(rule.offDelay(), since, now)) {
      return new Next(old.change().absent(Optional.of(since)).done(), Optional.empty());
    }
    AlarmEntry.Change next =
        old.change()
            .finding(allClear.get().with(old.finding().priority()))
            .absent(Optional.empty())
            .lower(Optional.empty())
            .tanks(List.of())
            .root(Optional.empty());
    boolean had = old.state() == AlarmState.ACKNOWLEDGED;
    if (old.root().isPresent() || (had && !rule.latches())) {
      next.open(AlarmState.NORMAL);
    } else if (had) {
      next.had(AlarmState.LATCHED_ACKNOWLEDGED, old.acknowledgedBy());
    } else {
      next.open(
              rule.latches()
                  ? AlarmState.LATCHED_UNACKNOWLEDGED
                  : AlarmState.RETURNED_UNACKNOWLEDGED)
          .silence(old.silence());
    }
    return told(now, Kind.CLEARED, next);
  }

  /**
   * The start of a running delay, or now: if none runs, or if time stepped back before its start.
   */
  private static Instant running(Optional<Instant> since, Instant now) {
    return since.filter(s -> !s.isAfter(now)).orElse(now);
  }
}
