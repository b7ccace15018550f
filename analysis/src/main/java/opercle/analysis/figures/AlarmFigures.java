// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.Deque;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmGap;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.Priority;

/**
 * How the alarms of one week did. Counted are calls ({@link Occurrence#isCall}); acknowledging,
 * clearing and other words are none.
 *
 * @param week which week
 * @param until up to when it was looked at: its end, or now
 * @param calls how many calls in all
 * @param perDay calls a day, of 24 hours
 * @param mostInTenMinutes the most calls in any ten minutes
 * @param busyShare share of the week's ten-minute periods with more than ten calls
 * @param floods see {@link Flood}
 * @param floodShare share of the time in a flood
 * @param byPriority calls by priority
 * @param mostFrequent the alarms that called most, most first, ten at most
 * @param chattering the alarms that were raised three times or more in one minute
 * @param standing the occurrences that stood for more than 24 hours, at some time of the week
 * @param mostStanding the most of them at once on any day
 * @param wakings the nights' wakings
 * @param nights how many nights had begun
 * @param acknowledged of the occurrences that called with high priority: from call to
 *     acknowledgement
 * @param deliveries how the calls out to people fared; empty where that is not kept
 * @param missingEvents alarm events that the history lacks
 */
public record AlarmFigures(
    Week week,
    Instant until,
    int calls,
    double perDay,
    int mostInTenMinutes,
    double busyShare,
    List<Flood> floods,
    double floodShare,
    Map<Priority, Integer> byPriority,
    List<Frequent> mostFrequent,
    List<AlarmId> chattering,
    List<Occurrence> standing,
    int mostStanding,
    List<Waking> wakings,
    int nights,
    Acknowledged acknowledged,
    Optional<Deliveries> deliveries,
    int missingEvents) {

  private static final Duration CHATTER_WITHIN = Duration.ofMinutes(1);
  private static final int CHATTER_TIMES = 3;
  private static final Duration STANDS_LONG = Duration.ofHours(24);
  private static final int MOST_FREQUENT = 10;

  /**
   * An alarm and its share of all calls.
   *
   * @param alarm which
   * @param calls how many
   * @param share of all calls, 0 to 1
   */
  public record Frequent(AlarmId alarm, int calls, double share) {}

  /**
   * Times to acknowledgement, by nearest rank over all; one that nobody acknowledged is later than
   * any.
   *
   * @param alarms how many there were
   * @param never how many of them nobody acknowledged
   * @param median half of all were acknowledged within it; empty where fewer than half were
   * @param ninety nine of ten within it; empty where fewer were
   */
  public record Acknowledged(
      int alarms, int never, Optional<Duration> median, Optional<Duration> ninety) {

    static Acknowledged of(List<Occurrence> called) {
      List<Duration> times =
          called.stream().flatMap(o -> o.timeToAcknowledge().stream()).sorted().toList();
      return new Acknowledged(
          called.size(),
          called.size() - times.size(),
          rank(times, called.size(), 0.5),
          rank(times, called.size(), 0.9));
    }

    private static Optional<Duration> rank(List<Duration> times, int of, double share) {
      int rank = (int) Math.ceil(share * of - 1e-9);
      return rank >= 1 && rank <= times.size()
          ? Optional.of(times.get(rank - 1))
          : Optional.empty();
    }
  }

  /**
   * The figures of a week.
   *
   * @param now up to when it has gone, if it is not over
   * @param occurrences all that were alive in it, with their events up to its end or now
   */
  public static AlarmFigures of(
      Week week,
      Instant now,
      List<Occurrence> occurrences,
      List<AlarmGap> gaps,
      Optional<Deliveries> deliveries) {
    Instant until = now.isBefore(week.end()) ? now : week.end();
    List<AlarmEvent> calls =
        occurrences.stream()
            .flatMap(o -> o.calls().stream())
            .filter(e -> isIn(e, week, until))
            .sorted(Comparator.comparing(AlarmEvent::time))
            .toList();
    List<Instant> times = calls.stream().map(AlarmEvent::time).toList();
    double hours = week.hoursUntil(now);
    List<Flood> floods = Flood.in(times, until);
    double floodHours =
        floods.stream().mapToDouble(f -> f.lasting(until).toMillis() / 3_600_000.0).sum();
    List<Occurrence> standing =
        occurrences.stream()
            .filter(o -> o.standsLongerThan(STANDS_LONG, until))
            .filter(o -> o.end().orElse(until).isAfter(week.start()))
            .toList();
    List<Occurrence> urgent =
        occurrences.stream()
            .filter(
                o ->
                    o.calls().stream()
                        .anyMatch(e -> e.priority() == Priority.HIGH && isIn(e, week, until)))
            .toList();
    return new AlarmFigures(
        week,
        until,
        calls.size(),
        hours > 0.0 ? 24.0 * calls.size() / hours : 0.0,
        mostWithin(times, Flood.WINDOW),
        busyShare(week, until, times),
        floods,
        hours > 0.0 ? floodHours / hours : 0.0,
        byPriority(calls),
        mostFrequent(calls),
        chattering(occurrences, week, until),
        standing,
        mostStanding(week, until, standing),
        Waking.in(week, until, occurrences),
        week.nightsBegunBy(now),
        Acknowledged.of(urgent),
        deliveries,
        gaps.stream().mapToInt(AlarmGap::events).sum());
  }

  /** Calls an hour. */
  public double perHour() {
    return perDay / 24.0;
  }

  /** Calls in ten minutes. */
  public double perTenMinutes() {
    return perDay / 144.0;
  }

  /** What the ten most frequent make of all, 0 to 1. */
  public double mostFrequentShare() {
    return mostFrequent.stream().mapToDouble(Frequent::share).sum();
  }

  /** How many wakings were so. */
  public int wakings(Waking.Was was) {
    return (int) wakings.stream().filter(w -> w.was() == was).count();
  }

  /** How often somebody was woken for the monitor itself; empty where calls are not kept. */
  public OptionalInt monitorWakings() {
    return deliveries
        .map(d -> OptionalInt.of(Waking.count(week, d.forTheMonitor())))
        .orElse(OptionalInt.empty());
  }

  private static boolean isIn(AlarmEvent e, Week week, Instant until) {
    return !e.time().isBefore(week.start()) && e.time().isBefore(until);
  }

  /** The most times in any window that begins with one of them and does not include its end. */
  static int mostWithin(List<Instant> times, Duration window) {
    int most = 0;
    int first = 0;
    for (int last = 0; last < times.size(); last++) {
      while (!times.get(first).plus(window).isAfter(times.get(last))) {
        first++;
      }
      most = Math.max(most, last - first + 1);
    }
    return most;
  }

  /** The week's own periods of ten minutes, from its start on; the last may be cut short. */
  private static double busyShare(Week week, Instant until, List<Instant> times) {
    long period = Flood.WINDOW.toMillis();
    Map<Long, Integer> counts = new HashMap<>();
    for (Instant time : times) {
      counts.merge(Duration.between(week.start(), time).toMillis() / period, 1, Integer::sum);
    }
    long length = Duration.between(week.start(), until).toMillis();
    long periods = (length + period - 1) / period;
    long busy = counts.values().stream().filter(count -> count > Flood.MORE_THAN).count();
    return periods > 0 ? (double) busy / periods : 0.0;
  }

  private static Map<Priority, Integer> byPriority(List<AlarmEvent> calls) {
    Map<Priority, Integer> counts = new EnumMap<>(Priority.class);
    for (Priority priority : Priority.values()) {
      counts.put(priority, 0);
    }
    calls.forEach(e -> counts.merge(e.priority(), 1, Integer::sum));
    return counts;
  }

  private static List<Frequent> mostFrequent(List<AlarmEvent> calls) {
    Map<AlarmId, Integer> counts = new LinkedHashMap<>();
    calls.forEach(e -> counts.merge(e.id(), 1, Integer::sum));
    return counts.entrySet().stream()
        .sorted(Map.Entry.<AlarmId, Integer>comparingByValue().reversed())
        .limit(MOST_FREQUENT)
        .map(e -> new Frequent(e.getKey(), e.getValue(), (double) e.getValue() / calls.size()))
        .toList();
  }

  /**
   * Raised so often counts, whether or not it called: a shelved alarm that chatters is no better.
   */
  private static List<AlarmId> chattering(List<Occurrence> occurrences, Week week, Instant until) {
    Map<AlarmId, Deque<Instant>> latest = new LinkedHashMap<>();
    List<AlarmId> chattering = new ArrayList<>();
    occurrences.stream()
        .flatMap(o -> o.events().stream())
        .filter(e -> e.event() == AlarmEvent.Kind.RAISED)
        .filter(e -> isIn(e, week, until))
        .sorted(Comparator.comparing(AlarmEvent::time))
        .forEach(
            e -> {
              Deque<Instant> times = latest.computeIfAbsent(e.id(), id -> new ArrayDeque<>());
              times.addLast(e.time());
              while (times.getFirst().plus(CHATTER_WITHIN).isBefore(e.time())) {
                times.removeFirst();
              }
              if (times.size() >= CHATTER_TIMES && !chattering.contains(e.id())) {
                chattering.add(e.id());
              }
            });
    return chattering;
  }

  private static int mostStanding(Week week, Instant until, List<Occurrence> standing) {
    int most = 0;
    List<Instant> midnights = week.midnights();
    for (int day = 0; day < 7; day++) {
      Instant from = midnights.get(day);
      Instant to = midnights.get(day + 1).isBefore(until) ? midnights.get(day + 1) : until;
      int that =
          (int)
              standing.stream()
                  .filter(o -> o.since().plus(STANDS_LONG).isBefore(to))
                  .filter(o -> o.end().orElse(until).isAfter(from))
                  .count();
      most = Math.max(most, that);
    }
    return most;
  }
}
