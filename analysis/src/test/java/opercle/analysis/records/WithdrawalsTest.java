// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import opercle.analysis.records.TankEntry.Where;
import org.junit.jupiter.api.Test;

/** A medicine goes where its fish go. */
class WithdrawalsTest {

  private static final Instant MONDAY = Instant.parse("2026-11-16T09:00:00Z");
  private static final LocalDate DAY = LocalDate.of(2026, 11, 20);

  private final Sallowmere farm = new Sallowmere();

  private static Where at(String tank, int hours) {
    return new Where(
        tank, Optional.of("Holding " + tank.substring(1)), MONDAY.plus(Duration.ofHours(hours)));
  }

  private void bath(String tank, int hours) {
    farm.add(
        "the-bath-" + tank,
        new TankEntry.Treatment(
            at(tank, hours),
            "a bath in " + tank,
            "20 mL",
            "spots",
            Optional.empty(),
            Optional.of(DAY.plusDays(1)),
            Optional.empty()));
  }

  private void moved(String from, String to, int hours) {
    farm.add(
        "moved-%s-%s-%d".formatted(from, to, hours),
        new TankEntry.Moved(
            at(from, hours),
            to,
            Optional.empty(),
            Optional.of("tench"),
            OptionalDouble.of(5.0),
            Optional.empty()));
  }

  private List<String> running(String tank) {
    return Withdrawals.running(farm.records(), tank, DAY).stream()
        .map(TankEntry.Treatment::what)
        .toList();
  }

  @Test
  void fishThatWereMovedAfterwards_takeItWithThem_fromTankToTank() {
    bath("h1", 0);
    moved("h1", "h2", 5);
    moved("h2", "t1", 9);

    assertThat(running("h2")).containsExactly("a bath in h1");
    assertThat(running("t1")).containsExactly("a bath in h1");
    assertThat(running("h3")).isEmpty();
    assertThat(Withdrawals.running(farm.records(), "t1", DAY.plusDays(2))).isEmpty();
  }

  @Test
  void fishThatWereMovedBefore_areNotUnderIt_norThoseThatLeftTheOtherTankBeforeTheyCame() {
    moved("h1", "h2", 0);
    moved("h2", "h3", 3);
    bath("h1", 5);
    moved("h1", "h2", 7);

    assertThat(running("h2")).containsExactly("a bath in h1");
    assertThat(running("h3")).isEmpty();
  }

  @Test
  void tanksThatChangedFish_areBothUnderBoth() {
    bath("h1", 0);
    bath("h2", 0);
    moved("h1", "h2", 1);
    moved("h2", "h1", 2);

    assertThat(running("h1")).containsExactly("a bath in h1", "a bath in h2");
    assertThat(running("h2")).containsExactly("a bath in h1", "a bath in h2");
  }

  @Test
  void movementBetweenWatersThatAreTanks_counts_andALaterOneIsPromptedFor() {
    farm.add("water-h1", tank("Holding 1", Optional.of("h1")));
    farm.add("water-h2", tank("The long tank", Optional.of("h2")));
    bath("h1", 0);
    farm.add("movement-1", movement("water-h1", "water-h2", 4));

    assertThat(running("h2")).containsExactly("a bath in h1");
    assertThat(
            Withdrawals.of(
                farm.records(),
                tank("The long tank", Optional.of("h2")),
                MONDAY.plus(Duration.ofHours(8)),
                DAY))
        .hasSize(1);
    assertThat(
            Withdrawals.of(
                farm.records(),
                tank("The long tank", Optional.of("h2")),
                MONDAY.plus(Duration.ofHours(3)),
                DAY))
        .as("before they came")
        .isEmpty();
  }

  private static Water tank(String name, Optional<String> tank) {
    return new Water(
        name,
        Water.Type.TANK,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        tank,
        Water.Connection.NOT_SAID,
        Optional.empty());
  }

  private static Movement movement(String from, String to, int hours) {
    return new Movement(
        "tench",
        OptionalLong.of(40),
        OptionalDouble.of(5.0),
        Optional.of(from),
        Optional.of(to),
        MONDAY.plus(Duration.ofHours(hours)),
        MONDAY.plus(Duration.ofHours(hours + 1)),
        OptionalLong.empty(),
        new Movement.Means(Optional.empty(), Optional.empty(), OptionalDouble.empty()),
        new Movement.Papers(
            Optional.empty(),
            Optional.empty(),
            List.of(),
            List.of(),
            Optional.empty(),
            Optional.empty()),
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }
}
