// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Function;
import java.util.stream.Collectors;
import opercle.analysis.evening.Check.Answer;
import opercle.analysis.evening.Check.Topic;
import opercle.analysis.farm.Tank;
import opercle.analysis.watch.TankState;

/**
 * The answer to one question: can I go to bed? Only if everything looked at is well; what is not
 * known is not well. It is worked out anew each time, so that a tank which no alarm can save is
 * told every evening until it is changed. A value; pure.
 *
 * @param time the instant it was asked for
 * @param morning until when it holds
 * @param tanks every tank with fish in it, the worst first
 * @param farm what concerns the farm as a whole: the monitor, and who would be called
 */
public record EveningCheck(
    Instant time, Instant morning, List<TankEvening> tanks, List<Check> farm) {

  /** A daily test, with room for the one who asks a little before it. */
  static final Duration TESTED_WITHIN = Duration.ofHours(26);

  public EveningCheck {
    tanks = List.copyOf(tanks);
    farm = List.copyOf(farm);
  }

  /**
   * One tank's checks.
   *
   * @param tank its id
   * @param name as the keeper calls it
   * @param inHandMinutes the least time in hand if gas stopped now; empty where it cannot be told,
   *     infinite where oxygen would hold without gas
   * @param checks in the order of {@link Topic}
   */
  public record TankEvening(
      String tank, String name, OptionalDouble inHandMinutes, List<Check> checks) {

    public TankEvening {
      checks = List.copyOf(checks);
    }

    /** The worst of its answers. */
    public Answer answer() {
      return worst(checks);
    }
  }

  private static final Comparator<TankEvening> WORST_FIRST =
      Comparator.comparing(TankEvening::answer)
          .thenComparingDouble(t -> t.inHandMinutes().orElse(0.0));

  /** Works it out. */
  public static EveningCheck of(EveningView view) {
    Map<String, TankState> states =
        view.states().stream()
            .collect(Collectors.toMap(TankState::tank, Function.identity(), (older, s) -> s));
    List<TankEvening> tanks =
        view.farm().tanks().stream()
            .filter(Tank::isStocked)
            .map(t -> new TankChecking(t, states.get(t.id()), view).checked())
            .sorted(WORST_FIRST)
            .toList();
    List<Check> farm = new ArrayList<>(monitor(view));
    farm.addAll(people(view));
    return new EveningCheck(view.now(), view.morning(), tanks, farm);
  }

  /** Whether the keeper can go to bed. */
  public boolean canGoToBed() {
    return worst(farm) == Answer.YES && tanks.stream().allMatch(t -> t.answer() == Answer.YES);
  }

  /** How many things are not well, or not known to be. */
  public long open() {
    return farm.stream().filter(c -> !c.isWell()).count()
        + tanks.stream().flatMap(t -> t.checks().stream()).filter(c -> !c.isWell()).count();
  }

  private static Answer worst(List<Check> checks) {
    return checks.stream().map(Check::answer).min(Comparator.naturalOrder()).orElse(Answer.YES);
  }

  private static List<Check> monitor(EveningView view) {
    if (view.troubles().isEmpty()) {
      return List.of(Check.yes(Topic.MONITOR, "The monitor finds nothing wrong with itself."));
    }
    return view.troubles().stream()
        .map(t -> Check.no(Topic.MONITOR, t.words(), t.action()))
        .toList();
  }

  private static List<Check> people(EveningView view) {
    Reach reach = view.reach();
    if (!reach.isKnown()) {
      return List.of(
          Check.unknown(
              Topic.PEOPLE,
              "Who would be called is not known here.",
              "Look at the pages of the machine that watches the tanks: it calls people."));
    }
    if (reach.ways().isEmpty()) {
      return List.of(
          Check.no(
              Topic.PEOPLE,
              "Nobody would be called: no person is set up. An alarm tonight shows on the pages"
                  + " alone, and at a siren if there is one.",
              "Set up who is called and by what, and test it; until then somebody stays awake"
                  + " within earshot of a siren."));
    }
    return reach.ways().stream().map(way -> way(way, view.now())).toList();
  }

  private static Check way(Reach.Way way, Instant now) {
    String who = "%s by %s".formatted(way.person(), way.channel());
    if (way.trouble().isPresent()) {
      return Check.no(
          Topic.PEOPLE,
          "%s: does not work. %s".formatted(who, way.trouble().get()),
          "Mend it, then send %s a test.".formatted(way.person()));
    }
    Optional<Duration> ago = way.tested().map(t -> Duration.between(t, now));
    if (ago.isEmpty()) {
      return Check.unknown(
          Topic.PEOPLE,
          "%s: never tested.".formatted(who),
          "Send %s a test, and see that it arrives.".formatted(way.person()));
    }
    if (ago.get().compareTo(TESTED_WITHIN) > 0) {
      return Check.unknown(
          Topic.PEOPLE,
          "%s: last tested %s ago.".formatted(who, Spoken.hours(ago.get())),
          "Send %s a test, and see that it arrives.".formatted(way.person()));
    }
    String when = ago.get().toMinutes() < 1 ? "just now" : Spoken.hours(ago.get()) + " ago";
    return Check.yes(Topic.PEOPLE, "%s: took a test %s.".formatted(who, when));
  }
}
