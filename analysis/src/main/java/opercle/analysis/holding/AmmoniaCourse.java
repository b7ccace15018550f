// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.TreeSet;
import opercle.analysis.Band;
import opercle.analysis.balance.WasteBuildUp;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.TankEntry;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.Feeding;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.OxygenDemand;

/**
 * How total ammonia gathers in a tank between one instant at which it is known and another, as the
 * fish are fed and water is changed.
 *
 * <p>Unfed fish give off what {@link WasteBuildUp} says for the oxygen they take. For a day after a
 * meal that was weighed it is at least feed × protein × 0.092 (Timmons &amp; Ebeling, from memory,
 * taken ±30 %); after one that was not, what fed fish give off for their oxygen. Excretion is at
 * its peak 4–8 h after a meal and low again a day after it (Liu et al. 2017, van Weerd et al. 1995,
 * read); over a day it is spread evenly here. Bacteria, and what goes off into the air, are not
 * counted: both make less of it.
 */
final class AmmoniaCourse {

  /** Total ammonia nitrogen per kilogram of protein fed, kg/kg (Timmons &amp; Ebeling, memory). */
  static final double TAN_PER_PROTEIN = 0.092;

  /** What feed for these fish holds where nobody reads the bag (common practice). */
  static final double USUAL_PROTEIN_PERCENT = 40.0;

  private static final Band SPREAD_OF_FEED = new Band(0.7, 1.0, 1.3);
  static final Duration DIGESTS = Duration.ofHours(24);

  private final Tank tank;
  private final TankWork work;
  private final double temperatureC;

  AmmoniaCourse(Tank tank, TankWork work, double temperatureC) {
    this.tank = tank;
    this.work = work;
    this.temperatureC = temperatureC;
  }

  /**
   * Total ammonia as nitrogen.
   *
   * @param start what it was then, mg/L
   * @param from when
   * @param to not before {@code from}
   */
  Band at(Band start, Instant from, Instant to) {
    TreeSet<Instant> turns = new TreeSet<>(List.of(from, to));
    for (TankEntry.Feed feed : work.of(TankEntry.Feed.class)) {
      turns.add(feed.where().time());
      turns.add(feed.where().time().plus(DIGESTS));
    }
    work.exchanged().forEach(change -> turns.add(change.time()));
    Band tan = start;
    Instant at = from;
    for (Instant turn : turns.subSet(from, false, to, true)) {
      tan =
          WaterExchange.running(
              tan,
              perHour(at),
              tank.holding().freshLPerHour().orElse(0.0),
              tank.waterLitres(),
              Duration.between(at, turn).toMillis() / 3.6e6);
      tan = changedAt(turn, tan);
      at = turn;
    }
    return tan;
  }

  private Band changedAt(Instant turn, Band tan) {
    Band after = tan;
    for (TankWork.Exchanged change : work.exchanged()) {
      if (change.time().equals(turn)) {
        after =
            new Band(
                WaterExchange.after(after.low(), 0.0, change.litres(), tank.waterLitres()),
                WaterExchange.after(after.likely(), 0.0, change.litres(), tank.waterLitres()),
                WaterExchange.after(after.high(), 0.0, change.litres(), tank.waterLitres()));
      }
    }
    return after;
  }

  /** Given off just after an instant, mg/L/h. */
  Band perHour(Instant at) {
    List<TankEntry.Feed> digesting =
        work.of(TankEntry.Feed.class).stream()
            .filter(f -> !f.where().time().isAfter(at))
            .filter(f -> f.where().time().plus(DIGESTS).isAfter(at))
            .toList();
    Band unfed = fromOxygen(Feeding.UNFED);
    if (digesting.isEmpty()) {
      return unfed;
    }
    if (digesting.stream().anyMatch(f -> f.kg().isEmpty())) {
      return fromOxygen(Feeding.FED);
    }
    double mgPerLPerHour =
        digesting.stream().mapToDouble(AmmoniaCourse::tanMgPerHour).sum() / tank.waterLitres();
    Band fed = SPREAD_OF_FEED.times(mgPerLPerHour);
    return new Band(
        Math.max(unfed.low(), fed.low()),
        Math.max(unfed.likely(), fed.likely()),
        Math.max(unfed.high(), fed.high()));
  }

  private static double tanMgPerHour(TankEntry.Feed feed) {
    double protein = feed.proteinPercent().orElse(USUAL_PROTEIN_PERCENT) / 100.0;
    return 1.0e6 * feed.kg().orElseThrow() * protein * TAN_PER_PROTEIN / DIGESTS.toHours();
  }

  private Band fromOxygen(Feeding feeding) {
    return WasteBuildUp.tanMgPerL(0.0, oxygenMgPerLPerHour(tank, temperatureC, feeding), feeding);
  }

  /** What the load takes, mg/L/h. */
  static Band oxygenMgPerLPerHour(Tank tank, double temperatureC, Feeding feeding) {
    Band routine =
        new FishLoad(
                tank.loads().stream().filter(l -> l.kg() > 0.0).map(AmmoniaCourse::batch).toList())
            .routineMgPerHour(temperatureC);
    Band food = feeding.oxygenMultiplier();
    return new Band(
            routine.low() * food.low(),
            routine.likely() * food.likely(),
            routine.high() * food.high())
        .times(1.0 / tank.waterLitres());
  }

  /** A count that makes no fish of these species is left aside: the weight is what counts. */
  private static Batch batch(Tank.Load load) {
    double each = load.meanMassKg();
    return load.count().isPresent()
            && each >= OxygenDemand.LIGHTEST_KG
            && each <= OxygenDemand.HEAVIEST_KG
        ? Batch.of(load.species(), load.kg(), load.count().getAsInt())
        : Batch.ofKg(load.species(), load.kg());
  }
}
