// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.trip.Failure;
import opercle.analysis.trip.OxygenFigures;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripLimits;
import opercle.analysis.trip.TripLog;
import opercle.analysis.trip.TripTank;
import opercle.analysis.trip.TripTrace;
import opercle.analysis.watch.FarmWatch;
import opercle.ingest.reading.Reading;
import opercle.simulator.Happening;
import opercle.simulator.Sallowmere;
import opercle.simulator.Scenario;
import opercle.simulator.SimulatedFarm;
import opercle.simulator.Where;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A trip of the simulator's, whose truth is known, looked at afterwards. */
class SimulatedTripTest {

  private static final Instant START = Instant.parse("2026-03-14T09:00:00Z");
  private static final Duration SPLIT_AFTER = Duration.ofMinutes(47);
  private static final Duration LENGTH = Duration.ofMinutes(75);

  private final Farm farm = Sallowmere.farmAt(START);
  private final Tank tank = farm.tank("t1").orElseThrow();

  private Review review(long seed, List<Happening> happenings, List<Reading> into) {
    SimulatedFarm simulated =
        new SimulatedFarm(farm, new Scenario("a trip", "A trip.", happenings), seed, START);
    FarmWatch watch = new FarmWatch(farm);
    List<AlarmEvent> alarms = new ArrayList<>();
    for (Instant t = START; t.isBefore(START.plus(LENGTH)); t = t.plusSeconds(1)) {
      for (Reading reading : simulated.advance(t.plusSeconds(1))) {
        alarms.addAll(watch.accept(reading));
        if (reading.tank().equals("t1")) {
          into.add(reading);
        }
      }
      alarms.addAll(watch.tick(t.plusSeconds(1)));
    }
    Trip trip =
        new Trip(
            "trip",
            Trip.Kind.ROAD,
            TripTank.of(tank, farm.altitudeM()),
            Optional.of("Trailer"),
            "Holding 2",
            "Long Pool",
            tank.loads(),
            OptionalDouble.of(60.0),
            TripLimits.of(tank),
            OptionalDouble.empty(),
            Optional.empty(),
            Optional.empty());
    return Review.of(
        TripLog.of(new Loaded("in", START, "Maren", Optional.empty(), trip)),
        new TripTrace(
            START,
            START.plus(LENGTH),
            into,
            alarms.stream().filter(a -> a.tank().equals("t1")).toList(),
            List.of()),
        List.of());
  }

  private static final List<Happening> SPLIT =
      List.of(
          Happening.at(
              SPLIT_AFTER,
              Happening.Kind.LINE_SPLITS_AFTER_METER,
              new Where.OneTank("t1", Tank.Kind.TRANSPORT),
              1.0));

  /** How far off the moment is, s, and how far it may be by its own tolerance. */
  private static double[] off(Failure failure) {
    return new double[] {
      Duration.between(START.plus(SPLIT_AFTER), failure.at()).toMillis() / 1000.0,
      failure.tolerance().toSeconds()
    };
  }

  @Test
  void moments_ofSixteenSplits_lieWithinTheirTolerance_andMostlyWithinHalfAMinute() {
    int withinHalfAMinute = 0;
    int withinTolerance = 0;
    for (long seed = 1; seed <= 16; seed++) {
      double[] off = off(review(seed, SPLIT, new ArrayList<>()).failure().orElseThrow());
      withinHalfAMinute += Math.abs(off[0]) <= 30.0 ? 1 : 0;
      withinTolerance += Math.abs(off[0]) <= off[1] ? 1 : 0;
    }

    assertThat(withinHalfAMinute).isGreaterThanOrEqualTo(14);
    assertThat(withinTolerance).isGreaterThanOrEqualTo(14);
  }

  @Test
  void splitLine_isFoundWithinHalfAMinute_andTheFloorsToTheSample() {
    List<Reading> readings = new ArrayList<>();

    Review review = review(1, SPLIT, readings);

    Failure failure = review.failure().orElseThrow();
    assertThat(off(failure)[0]).isCloseTo(0.0, within(30.0));
    assertThat(failure.meterStopped()).isEmpty();
    assertThat(failure.toldAfter().orElseThrow()).isLessThan(Duration.ofMinutes(6));
    OxygenBySample oxygen = OxygenBySample.of(readings, START.plus(LENGTH));
    OxygenFigures figures = review.oxygen().orElseThrow();
    assertThat(figures.lowestMgPerL()).isEqualTo(oxygen.lowestMgPerL());
    assertThat(figures.belowKeep()).isEqualTo(oxygen.below(tank.floorsInForce().keepMgPerL()));
    assertThat(figures.belowCritical())
        .isEqualTo(oxygen.below(tank.floorsInForce().criticalMgPerL()));
    assertThat(figures.belowKeep()).as("that there is something to count").isPositive();
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
  void quietTrip_hasNoFailure(long seed) {
    assertThat(review(seed, List.of(), new ArrayList<>()).failure()).isEmpty();
  }
}
