// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.function.Predicate;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.calling.CallingState.Pending;

/**
 * What each channel was handed about each thing, so that a later message can name those that it
 * takes the place of. Whether the other side took one is not asked: it may have, and then lost the
 * answer. One thread, one turn.
 */
final class Handed {

  /** Of older ones a channel that works has had the end from those that followed. */
  static final int MOST = 20;

  /** What is handed out later than this is told anew: its link would soon end. */
  static final Duration OLD = Duration.ofHours(1);

  private final Map<String, List<Earlier>> messages;

  Handed(Map<String, List<Earlier>> known) {
    this.messages = new LinkedHashMap<>(known);
  }

  /** What a channel was handed about it, the oldest first. */
  List<Earlier> to(Target target, String occurrence) {
    return messages.getOrDefault(key(occurrence, target), List.of());
  }

  /**
   * A call as it is handed out, after what was handed out before: one that says what it said the
   * time before is the same again.
   *
   * @param told what it says now
   * @param at by the wall clock
   */
  Call edition(Pending p, Call told, Instant at) {
    boolean again = p.attempts() > 0;
    boolean isOld = !at.isBefore(told.sent().plus(OLD));
    if (again && !isOld && asTold(told).equals(asTold(p.call()))) {
      return p.call();
    }
    Call after = told.after(to(p.target(), p.occurrence()));
    return again || isOld ? after.renewed(at) : after;
  }

  /**
   * A call by about what messages tell of it: minutes to a tenth, oxygen to 0.01 mg/L. Two values
   * that differ by less are told apart where a rounding lies between them; that renews a message
   * once more than it need be, and loses none.
   */
  private static Call asTold(Call call) {
    return call.asOfNow(call.about().stream().map(Handed::asTold).toList(), call.driving());
  }

  private static AlarmEvent asTold(AlarmEvent e) {
    return new AlarmEvent(
        e.time(),
        e.tank(),
        e.cause(),
        e.event(),
        e.priority(),
        e.state(),
        rounded(e.timeInHandMinutes(), 10.0),
        rounded(e.oxygenMgPerL(), 100.0),
        e.message(),
        e.since(),
        e.annunciated(),
        e.by(),
        e.until(),
        e.root(),
        e.tanks());
  }

  private static OptionalDouble rounded(OptionalDouble value, double parts) {
    return value.isPresent()
        ? OptionalDouble.of(Math.rint(value.getAsDouble() * parts) / parts)
        : value;
  }

  /** A channel is handed this now. */
  void note(Call call) {
    if (call.occurrence().isEmpty()) {
      return; // about several things, or a test: nothing takes its place
    }
    Target target = new Target(call.person(), call.channel());
    List<Earlier> all = new ArrayList<>(to(target, call.occurrence()));
    Earlier message = Earlier.of(call);
    if (all.contains(message)) {
      return; // the same again
    }
    all.add(message);
    messages.put(
        key(call.occurrence(), target),
        List.copyOf(all.subList(Math.max(0, all.size() - MOST), all.size())));
  }

  /** What is left of it once other things are forgotten. */
  Map<String, List<Earlier>> about(Predicate<String> occurrence) {
    Map<String, List<Earlier>> left = new LinkedHashMap<>(messages);
    left.keySet().removeIf(key -> !occurrence.test(key.substring(0, key.indexOf('\n'))));
    return left;
  }

  private static String key(String occurrence, Target target) {
    return occurrence + "\n" + target.id();
  }
}
