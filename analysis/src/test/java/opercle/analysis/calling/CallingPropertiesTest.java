// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.calling.Call.Kind;

class CallingPropertiesTest {

  /** Some people, each with one to three channels, and which of those are dead in which way. */
  record Ways(List<Person> people, Set<Target> failing, Set<Target> hanging) {

    Night night() {
      Night night = Night.of(people);
      night.channels =
          target ->
              failing.contains(target)
                  ? Night.FAILS
                  : hanging.contains(target) ? Night.HANGS : Night.WORKS;
      return night;
    }

    int count() {
      return people.stream().mapToInt(p -> p.channels().size()).sum();
    }
  }

  @Provide
  Arbitrary<Ways> ways() {
    Arbitrary<List<Integer>> sizes = Arbitraries.integers().between(1, 3).list().ofSize(4);
    Arbitrary<List<Integer>> fates = Arbitraries.integers().between(0, 2).list().ofSize(12);
    return Combinators.combine(
            Arbitraries.integers().between(1, 4),
            sizes,
            fates,
            Arbitraries.integers().between(0, 11))
        .as(CallingPropertiesTest::made);
  }

  private static Ways made(int people, List<Integer> sizes, List<Integer> fates, int alive) {
    List<Person> all = new ArrayList<>();
    List<Target> targets = new ArrayList<>();
    for (int i = 0; i < people; i++) {
      List<String> channels = List.of("push", "mail", "webhook").subList(0, sizes.get(i));
      Person person = new Person("person " + i, channels, Optional.empty());
      all.add(person);
      channels.forEach(c -> targets.add(new Target(person.name(), c)));
    }
    Set<Target> failing = new HashSet<>();
    Set<Target> hanging = new HashSet<>();
    for (int i = 0; i < targets.size(); i++) {
      if (i != alive % targets.size()) {
        if (fates.get(i) == 1) {
          failing.add(targets.get(i));
        } else if (fates.get(i) == 2) {
          hanging.add(targets.get(i));
        }
      }
    }
    return new Ways(all, failing, hanging);
  }

  @Property(tries = 400)
  void highAlarm_reachesSomebody_inBoundedTime_whateverElseIsDead(
      @ForAll("ways") Ways ways, @ForAll @DoubleRange(min = 0, max = 300) double minutes) {
    Night night = ways.night();
    night.hear(new News.Happened(night.high("h2", minutes)));
    night.pass(CallingPlan.USUAL_PATIENCE.multipliedBy(ways.count()));

    assertThat(night.told).isNotEmpty();
  }

  @Property(tries = 200)
  void calling_goesOn_whileNobodyHasIt(
      @ForAll("ways") Ways ways, @ForAll @DoubleRange(min = 0, max = 300) double minutes) {
    Night night = ways.night();
    night.hear(new News.Happened(night.high("h2", minutes)));
    night.pass(Duration.ofMinutes(30));
    night.told.clear();
    night.pass(Duration.ofMinutes(13));

    assertThat(night.told).isNotEmpty();
  }

  @Property(tries = 200)
  void acknowledged_isNeverCalledForAgain(
      @ForAll("ways") Ways ways,
      @ForAll @DoubleRange(min = 0, max = 300) double minutes,
      @ForAll @IntRange(min = 0, max = 600) int after) {
    Night night = ways.night();
    AlarmEvent alarm = night.high("h2", minutes);
    night.hear(new News.Happened(alarm));
    night.pass(Duration.ofSeconds(after));
    night.hear(new News.Happened(night.acknowledged(alarm, "person 0")));
    night.tried.clear();
    night.pass(Duration.ofMinutes(40));

    assertThat(night.tried).noneMatch(t -> t.call().kind() == Kind.ALARM);
  }

  @Property(tries = 200)
  void restartAtAnyMoment_losesNothing_andTellsNothingTwiceAsNew(
      @ForAll("ways") Ways ways,
      @ForAll @DoubleRange(min = 0, max = 300) double minutes,
      @ForAll @IntRange(min = 0, max = 300) int killedAfter) {
    Night night = ways.night();
    AlarmEvent alarm = night.high("h2", minutes);
    night.hear(new News.Happened(alarm));
    night.pass(Duration.ofSeconds(killedAfter));
    night.restart(Duration.ofSeconds(20));
    night.hear(new News.Happened(alarm));
    night.pass(Duration.ofMinutes(13));

    assertThat(night.told).isNotEmpty();
    assertThat(night.made.stream().map(Call::key)).doesNotHaveDuplicates();
  }

  @Property(tries = 100)
  void flood_isNeverMoreThanTenMessagesInTheFirstTenMinutes_byHoweverManyChannels(
      @ForAll @IntRange(min = 1, max = 60) int tanks,
      @ForAll @IntRange(min = 1, max = 3) int channels,
      @ForAll @DoubleRange(min = 0, max = 200) double minutes) {
    List<String> ways = List.of("mail", "push", "webhook").subList(0, channels);
    Night night = Night.of(List.of(new Person("Ines", ways, Optional.empty())));
    List<News> all = new ArrayList<>();
    for (int i = 0; i < tanks; i++) {
      all.add(new News.Happened(night.high("h" + i, minutes + i)));
    }
    night.hear(all.toArray(News[]::new));
    night.pass(Duration.ofMinutes(10).minusSeconds(1));

    assertThat(night.told.stream().map(t -> message(t.call())).distinct())
        .hasSizeLessThanOrEqualTo(10);
    assertThat(night.told.stream().collect(Collectors.groupingBy(t -> t.call().channel())))
        .allSatisfy((channel, told) -> assertThat(told).hasSizeLessThanOrEqualTo(10));
    assertThat(night.told.stream().flatMap(t -> t.call().about().stream()).map(AlarmEvent::tank))
        .containsAll(all.stream().map(n -> ((News.Happened) n).event().tank()).toList());
  }

  /** The same for whatever channels it goes by. */
  private static String message(Call call) {
    return call.kind() + " " + call.occurrence() + " " + call.number() + " " + call.made();
  }
}
