// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.Instant;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.monitor.MonitorTrouble;

/**
 * All that calling knows, as a value that can be saved: who has been told what, and what is still
 * to be told. Times in it, but for {@code at}, are those of a clock that never goes back.
 *
 * @param at the newest time told, by the wall clock
 * @param ahead how far the clock that never goes back is ahead of the wall clock
 * @param alarms standing alarms, by occurrence
 * @param monitor what is wrong with the monitor itself, by occurrence
 * @param pending calls made that no channel has taken yet
 * @param tallies how much each person was told of late, by name
 * @param channels what is known of each channel, by {@link Target#id}
 * @param atTheWheel when it was last said of those who drive, by name
 * @param waiting alarms that wait for the morning
 * @param waitingTroubles and troubles of the monitor
 * @param nextTest when the next test is due, by the wall clock
 * @param made how many calls were ever made
 * @param handed what channels were handed, by what it was about and {@link Target#id}
 */
public record CallingState(
    Instant at,
    Duration ahead,
    Map<String, Occurrence> alarms,
    Map<String, MonitorCause> monitor,
    List<Pending> pending,
    Map<String, Tally> tallies,
    Map<String, Health> channels,
    Map<String, Instant> atTheWheel,
    List<Waiting> waiting,
    List<WaitingTrouble> waitingTroubles,
    Optional<Instant> nextTest,
    long made,
    Map<String, List<Earlier>> handed) {

  public CallingState {
    alarms = Map.copyOf(alarms);
    monitor = Map.copyOf(monitor);
    pending = List.copyOf(pending);
    tallies = Map.copyOf(tallies);
    channels = Map.copyOf(channels);
    atTheWheel = Map.copyOf(atTheWheel);
    waiting = List.copyOf(waiting);
    waitingTroubles = List.copyOf(waitingTroubles);
    handed = Map.copyOf(handed);
  }

  /** Who is at the wheel. */
  public Set<String> driving() {
    return atTheWheel.keySet();
  }

  /** Nothing is known yet. */
  public static CallingState start(Instant at) {
    return new CallingState(
        at,
        Duration.ZERO,
        Map.of(),
        Map.of(),
        List.of(),
        Map.of(),
        Map.of(),
        Map.of(),
        List.of(),
        List.of(),
        Optional.empty(),
        0,
        Map.of());
  }

  /**
   * The same after a restart: what was on its way when the process ended is sent again, under the
   * same key; and what was wrong with the monitor is not taken to stand before it is seen again,
   * nor to be over before it had the time for that.
   *
   * @param wall when, by the wall clock
   */
  public CallingState resumed(Instant wall) {
    Instant now = (wall.isAfter(at) ? wall : at).plus(ahead);
    List<Pending> again = pending.stream().map(p -> p.isSent() ? p.again(p.due()) : p).toList();
    Map<String, MonitorCause> unseen = new HashMap<>(monitor);
    unseen.replaceAll((key, cause) -> cause.over() ? cause : cause.gone(now));
    return new CallingState(
        at,
        ahead,
        alarms,
        unseen,
        again,
        tallies,
        channels,
        atTheWheel,
        waiting,
        waitingTroubles,
        nextTest,
        made,
        handed);
  }

  /**
   * One occurrence of an alarm.
   *
   * @param event what was last heard of it
   * @param calling whether people are being called for it
   * @param episode how often calling began for it
   * @param step how many steps were taken in this episode
   * @param stepped when the last one was
   * @param everybody whether everybody has been called in this episode
   * @param tried the channels called in this step, by {@link Target#id}
   * @param called who has been called for it, by name
   * @param told whether it was told once, where it is not urgent
   */
  public record Occurrence(
      AlarmEvent event,
      boolean calling,
      int episode,
      int step,
      Instant stepped,
      boolean everybody,
      Set<String> tried,
      Set<String> called,
      boolean told)
      implements Rung<Occurrence> {
    public Occurrence {
      tried = Set.copyOf(tried);
      called = Set.copyOf(called);
    }

    /** Just heard of. */
    static Occurrence of(AlarmEvent event, Instant now) {
      return new Occurrence(event, false, 0, 0, now, false, Set.of(), Set.of(), false);
    }

    /** Names the occurrence: tank, cause and when it was raised. */
    public static String key(AlarmEvent event) {
      return sameAlarm(event) + event.since().toEpochMilli();
    }

    /** What the keys of all occurrences of an alarm begin with. */
    static String sameAlarm(AlarmEvent event) {
      return event.tank() + "/" + event.cause().id() + "/";
    }

    String key() {
      return key(event);
    }

    @Override
    public String message() {
      return key() + " " + episode + "." + step;
    }

    @Override
    public Call.Kind kind() {
      return Call.Kind.ALARM;
    }

    @Override
    public About about() {
      return About.alarms(List.of(event));
    }

    /** Whether its condition is gone; told by the event, or by how the alarm stands since. */
    static boolean hasEnded(AlarmEvent event) {
      return event.event() == AlarmEvent.Kind.CLEARED
          || event.state() == AlarmState.RETURNED_UNACKNOWLEDGED
          || event.state() == AlarmState.LATCHED_UNACKNOWLEDGED;
    }

    /** Whether news of it was missed, or not believed because the clock had been put back. */
    boolean missed(AlarmEvent standing) {
      return event.annunciated() != standing.annunciated()
          || event.priority() != standing.priority();
    }

    /** Calling begins, or begins again. */
    Occurrence begun(AlarmEvent event, Instant now) {
      return new Occurrence(event, true, episode + 1, 0, now, false, Set.of(), Set.of(), told);
    }

    Occurrence heard(AlarmEvent event, boolean calling, boolean told) {
      return new Occurrence(event, calling, episode, step, stepped, everybody, tried, called, told);
    }

    /**
     * What can have changed without an event: words, minutes, oxygen and tanks as of now. Minutes
     * that are no longer told count as none: a fall that has ended is no hurry.
     */
    Occurrence asItStands(AlarmEvent standing) {
      AlarmEvent e = event;
      AlarmEvent now =
          new AlarmEvent(
              e.time(),
              e.tank(),
              e.cause(),
              e.event(),
              e.priority(),
              e.state(),
              standing.timeInHandMinutes(),
              standing.oxygenMgPerL(),
              standing.message(),
              e.since(),
              e.annunciated(),
              e.by(),
              e.until(),
              e.root(),
              standing.tanks());
      return heard(now, calling, told);
    }

    Occurrence stepped(Instant now, boolean everybody) {
      return new Occurrence(
          event, true, episode, step + 1, now, this.everybody || everybody, Set.of(), called, told);
    }

    @Override
    public Occurrence rung(Target target) {
      Set<String> nowTried = new LinkedHashSet<>(tried);
      nowTried.add(target.id());
      Set<String> nowCalled = new LinkedHashSet<>(called);
      nowCalled.add(target.person());
      return new Occurrence(
          event, true, episode, step, stepped, everybody, nowTried, nowCalled, told);
    }
  }

  /**
   * A call on its way.
   *
   * @param call what
   * @param occurrence the alarm that it is about, where it is about one; empty otherwise
   * @param made when
   * @param due when to try next; for one that is being sent, when it was sent
   * @param isSent whether a channel has it just now
   * @param attempts how often it was tried
   * @param routed whether another way has been tried beside it
   */
  public record Pending(
      Call call,
      String occurrence,
      Instant made,
      Instant due,
      boolean isSent,
      int attempts,
      boolean routed) {

    Pending sent(Call asOfNow, Instant now) {
      return new Pending(asOfNow, occurrence, made, now, true, attempts + 1, routed);
    }

    Pending again(Instant when) {
      return new Pending(call, occurrence, made, when, false, attempts, routed);
    }

    Pending withAnotherWayTried() {
      return new Pending(call, occurrence, made, due, isSent, attempts, true);
    }

    /** Its time is over: should this try fail, there is none after it, by this way or another. */
    Pending lastTry() {
      return new Pending(call, occurrence, Instant.EPOCH, due, isSent, attempts, true);
    }

    Target target() {
      return new Target(call.person(), call.channel());
    }
  }

  /**
   * How much a person was told of late.
   *
   * @param messages each told once, by whatever channels, and when first; those of the last ten
   *     minutes
   * @param more messages about several alarms together, and when; those of the last ten minutes
   * @param heardOf occurrences that they were told of in these minutes, one by one or together
   * @param folded occurrences that were not told one by one and wait to be told together
   */
  public record Tally(
      Map<String, Instant> messages,
      Map<String, Instant> more,
      Map<String, Instant> heardOf,
      List<String> folded) {
    public Tally {
      messages = Map.copyOf(messages);
      more = Map.copyOf(more);
      heardOf = Map.copyOf(heardOf);
      folded = List.copyOf(folded);
    }

    static final Tally NOTHING = new Tally(Map.of(), Map.of(), Map.of(), List.of());

    /** What is left of it for a stretch that began then. */
    Tally since(Instant start) {
      return new Tally(after(start, messages), after(start, more), after(start, heardOf), folded);
    }

    private static Map<String, Instant> after(Instant start, Map<String, Instant> times) {
      return times.entrySet().stream()
          .filter(e -> e.getValue().isAfter(start))
          .collect(Collectors.toMap(Map.Entry::getKey, Map.Entry::getValue));
    }

    Tally told(String message, String occurrence, Instant now) {
      return new Tally(with(messages, message, now), more, with(heardOf, occurrence, now), folded);
    }

    Tally toldTogether(String message, Collection<String> occurrences, Instant now) {
      Map<String, Instant> heard = new HashMap<>(heardOf);
      occurrences.forEach(o -> heard.put(o, now));
      return new Tally(messages, with(more, message, now), heard, List.of());
    }

    Tally waiting(Collection<String> occurrences) {
      return new Tally(messages, more, heardOf, List.copyOf(occurrences));
    }

    private static Map<String, Instant> with(Map<String, Instant> all, String key, Instant now) {
      Map<String, Instant> grown = new HashMap<>(all);
      grown.put(key, now);
      return grown;
    }
  }

  /**
   * What is known of a channel.
   *
   * @param trouble why its last attempt failed, in words; empty where it works
   * @param since since when it does not work, by the wall clock
   * @param notBefore how long it asked to be left alone
   * @param accepted when it last took something, by the wall clock
   * @param tested when it last took a test, by the wall clock
   */
  public record Health(
      Optional<String> trouble,
      Optional<Instant> since,
      Optional<Instant> notBefore,
      Optional<Instant> accepted,
      Optional<Instant> tested) {

    static final Health UNKNOWN =
        new Health(
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty());

    /** Whether its last attempt failed or is not answered. */
    public boolean isDoubtful() {
      return trouble.isPresent();
    }
  }

  /**
   * News that waits for the morning.
   *
   * @param event what
   * @param until when it is told, by the wall clock
   */
  public record Waiting(AlarmEvent event, Instant until) {}

  /**
   * A trouble of the monitor that waits for the morning.
   *
   * @param trouble what
   * @param until when it is told, by the wall clock
   */
  public record WaitingTrouble(MonitorTrouble trouble, Instant until) {}
}
