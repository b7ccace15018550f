// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import opercle.analysis.alarm.AlarmBook;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEntry;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmRule;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Finding;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Tank;
import org.jspecify.annotations.Nullable;

/**
 * The tanks that one blower or cylinder feeds: when several lose their gas together, that is one
 * alarm, and not one for each.
 *
 * <p>The first tank to lose its gas speaks for those that follow within {@link #WINDOW} of the last
 * before them: it names them all, the least time in hand first, and has the highest priority and
 * the least time of all. Their own alarms stand, suppressed, with a link to it. When it ends, or
 * somebody puts it aside or takes it out of service, while others are still without gas, that with
 * the least time in hand speaks for the rest. So at any time the least time in hand is told by an
 * alarm that calls. Where somebody had the alarm that is over, they have the next one too, unless
 * it leaves little time: they are at work on it, and are called again if it does not get better.
 *
 * <p>It remembers nothing: who speaks for whom stands in the books' entries, and is saved with
 * them. Not thread-safe.
 */
final class SharedSupply {

  /**
   * So long after the last a further tank is taken to have the same trouble (common practice): a
   * tank without a meter shows the loss of its gas only when its oxygen falls.
   */
  static final Duration WINDOW = Duration.ofMinutes(10);

  private static final List<AlarmCause> OF_SUPPLY =
      Arrays.stream(AlarmCause.values()).filter(c -> AlarmRule.of(c).isOfSupply()).toList();

  private final String name;
  private final Map<String, Member> members = new LinkedHashMap<>();

  private record Member(Tank tank, AlarmBook book) {}

  /** One alarm of one member, as it is in its book. */
  private record Loss(Member member, AlarmEntry entry) {
    AlarmId id() {
      return new AlarmId(member.tank().id(), entry.finding().cause());
    }

    Optional<AlarmId> root() {
      return entry.root();
    }

    boolean couldSpeak() {
      return member.book().shown(entry) == AlarmState.SUPPRESSED && entry.absentSince().isEmpty();
    }

    boolean speaks() {
      AlarmState shown = member.book().shown(entry);
      return entry.isPresent() && shown == entry.state();
    }

    double minutes() {
      return entry.finding().timeInHandMinutes().orElse(Double.POSITIVE_INFINITY);
    }
  }

  private static final Comparator<Loss> LEAST_TIME_FIRST =
      Comparator.comparingDouble(Loss::minutes)
          .thenComparing(l -> l.id().tank())
          .thenComparing(l -> l.id().cause());

  /**
   * What is said of a finding.
   *
   * @param finding with the words, time and priority of all that it speaks for
   * @param root the alarm that speaks for it; empty where it speaks for itself
   * @param tanks all that it speaks for; empty where that is its own tank alone
   * @param over the alarm that spoke for it until that one's own tank had gas again, if somebody
   *     had it
   */
  record Said(
      Finding finding, Optional<AlarmId> root, List<String> tanks, Optional<AlarmEntry> over) {}

  /**
   * Tanks that share something.
   *
   * @param name as the keeper calls it
   */
  SharedSupply(String name) {
    this.name = name;
  }

  /** A tank that it feeds, and the tank's alarms. */
  void add(Tank tank, AlarmBook book) {
    members.put(tank.id(), new Member(tank, book));
  }

  /** What is said of something that a tank finds just now. */
  Said said(Tank tank, Finding finding, Instant now) {
    @Nullable Member me = members.get(tank.id());
    if (me == null || members.size() < 2 || !AlarmRule.of(finding.cause()).isConsequence()) {
      return alone(finding);
    }
    AlarmId mine = new AlarmId(tank.id(), finding.cause());
    List<Loss> losses = losses();
    Optional<AlarmId> before =
        me.book().entry(mine.cause()).filter(AlarmEntry::isPresent).flatMap(AlarmEntry::root);
    Optional<AlarmId> root = root(me, mine, before, finding, losses, now);
    if (root.isPresent()) {
      return new Said(finding, root, List.of(), Optional.empty());
    }
    List<Loss> others =
        losses.stream()
            .filter(l -> ofSupply(mine) && !l.id().tank().equals(tank.id()))
            .filter(l -> spokenForBy(mine, l) || (before.isPresent() && before.equals(l.root())))
            .toList();
    Said said = others.isEmpty() ? alone(finding) : forAll(tank, finding, others);
    boolean lasts = said.finding.timeInHandMinutes().orElse(0.0) >= Urgency.SHORT_MINUTES;
    return before.isEmpty() || !ofSupply(mine) || !lasts
        ? said
        : new Said(said.finding, said.root, said.tanks, had(before.get(), said.finding.priority()));
  }

  private static Said alone(Finding finding) {
    return new Said(finding, Optional.empty(), List.of(), Optional.empty());
  }

  private static boolean ofSupply(AlarmId alarm) {
    return AlarmRule.of(alarm.cause()).isOfSupply();
  }

  /** An alarm that is over, if somebody had it and what is left of it is no more urgent. */
  private Optional<AlarmEntry> had(AlarmId over, Priority left) {
    @Nullable Member member = members.get(over.tank());
    return member == null
        ? Optional.empty()
        : member
            .book()
            .entry(over.cause())
            .filter(e -> member.book().shown(e) == AlarmState.LATCHED_ACKNOWLEDGED)
            .filter(e -> left.compareTo(e.finding().priority()) >= 0);
  }

  private static boolean spokenForBy(AlarmId root, Loss loss) {
    return loss.root().filter(root::equals).isPresent();
  }

  /** All alarms of a supply that may be lost, whose condition is present. */
  private List<Loss> losses() {
    List<Loss> losses = new ArrayList<>();
    for (Member member : members.values()) {
      for (AlarmCause cause : OF_SUPPLY) {
        member
            .book()
            .entry(cause)
            .filter(AlarmEntry::isPresent)
            .ifPresent(e -> losses.add(new Loss(member, e)));
      }
    }
    return losses;
  }

  private static Optional<AlarmId> root(
      Member me,
      AlarmId mine,
      Optional<AlarmId> before,
      Finding finding,
      List<Loss> losses,
      Instant now) {
    boolean ofSupply = AlarmRule.of(mine.cause()).isOfSupply();
    if (!ofSupply || !me.book().isPresent(mine.cause())) {
      Optional<AlarmId> ofMyTank = ofMyTanksLoss(mine, losses);
      return ofMyTank.isPresent() || !ofSupply ? ofMyTank : toJoin(mine, losses, now);
    }
    if (before.isEmpty()
        || losses.stream().anyMatch(l -> l.speaks() && l.id().equals(before.get()))) {
      return before;
    }
    Optional<AlarmId> successor =
        losses.stream()
            .filter(l -> l.speaks() && l.entry().tanks().contains(mine.tank()))
            .map(Loss::id)
            .findFirst();
    if (successor.isPresent()) {
      return successor;
    }
    // Nobody speaks any longer: of those that still lack gas, the one with the least time must.
    boolean mustSpeak =
        losses.stream()
            .filter(l -> l.root().equals(before) && l.couldSpeak())
            .map(l -> l.id().equals(mine) ? new Loss(me, l.entry().with(finding)) : l)
            .min(LEAST_TIME_FIRST)
            .filter(l -> l.id().equals(mine))
            .isPresent();
    return mustSpeak ? Optional.empty() : before;
  }

  /** What its oxygen does without gas is told by the alarm that speaks for the tank's lost gas. */
  private static Optional<AlarmId> ofMyTanksLoss(AlarmId mine, List<Loss> losses) {
    for (Loss loss : losses) {
      if (loss.id().tank().equals(mine.tank()) && !loss.id().equals(mine)) {
        if (loss.root().isPresent()) {
          return loss.root();
        }
        if (loss.speaks() && losses.stream().anyMatch(o -> spokenForBy(loss.id(), o))) {
          return Optional.of(loss.id());
        }
      }
    }
    return Optional.empty();
  }

  /** A tank that has just lost its gas joins the others that have, if they have so of late. */
  private static Optional<AlarmId> toJoin(AlarmId mine, List<Loss> losses, Instant now) {
    return losses.stream()
        .filter(l -> l.speaks() && l.root().isEmpty() && !l.id().tank().equals(mine.tank()))
        .filter(l -> isOfLate(l, losses, now))
        .min(Comparator.comparing((Loss l) -> l.entry().since()).thenComparing(l -> l.id().tank()))
        .map(Loss::id);
  }

  private static boolean isOfLate(Loss root, List<Loss> losses, Instant now) {
    return losses.stream()
        .filter(l -> l.id().equals(root.id()) || spokenForBy(root.id(), l))
        .anyMatch(l -> Duration.between(l.entry().since(), now).abs().compareTo(WINDOW) <= 0);
  }

  private Said forAll(Tank tank, Finding own, List<Loss> others) {
    Map<String, OptionalDouble> minutes = new LinkedHashMap<>();
    minutes.put(tank.id(), own.timeInHandMinutes());
    Priority priority = own.priority();
    boolean gasLost = isGasLost(own.cause());
    for (Loss other : others) {
      Finding f = other.entry().finding();
      gasLost |= isGasLost(f.cause());
      priority = f.priority().compareTo(priority) < 0 ? f.priority() : priority;
      minutes.merge(other.id().tank(), f.timeInHandMinutes(), SharedSupply::less);
    }
    List<String> tanks =
        minutes.entrySet().stream()
            .sorted(
                Comparator.comparingDouble(
                    (Map.Entry<String, OptionalDouble> e) ->
                        e.getValue().orElse(Double.POSITIVE_INFINITY)))
            .map(Map.Entry::getKey)
            .toList();
    String list =
        tanks.stream()
            .map(
                id ->
                    Wording.inHandOf(nameOf(id), minutes.getOrDefault(id, OptionalDouble.empty())))
            .collect(Collectors.joining(", "));
    OptionalDouble least =
        minutes.values().stream().reduce(OptionalDouble.empty(), SharedSupply::less);
    String fact =
        (gasLost ? "gas lost in " : "oxygen falling in ")
            + tanks.size()
            + " tanks on "
            + name
            + ": "
            + list;
    return new Said(
        new Finding(
            own.cause(),
            priority,
            own.gist(),
            least,
            own.oxygenMgPerL(),
            Wording.sentences(tank, fact, "", Wording.restoreSupply(tank))),
        Optional.empty(),
        tanks,
        Optional.empty());
  }

  private static boolean isGasLost(AlarmCause cause) {
    return cause != AlarmCause.OXYGEN_FALLING;
  }

  private String nameOf(String tank) {
    @Nullable Member member = members.get(tank);
    return member == null ? tank : member.tank().name();
  }

  private static OptionalDouble less(OptionalDouble a, OptionalDouble b) {
    if (a.isEmpty() || b.isEmpty()) {
      return a.isPresent() ? a : b;
    }
    return OptionalDouble.of(Math.min(a.getAsDouble(), b.getAsDouble()));
  }
}
