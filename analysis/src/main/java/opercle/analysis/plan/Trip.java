// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.DoubleUnaryOperator;
import java.util.function.ToDoubleFunction;
import java.util.stream.IntStream;
import opercle.analysis.Band;
import opercle.analysis.balance.Course;
import opercle.analysis.balance.Exchange;
import opercle.analysis.balance.OxygenBalance;
import opercle.analysis.balance.WasteBuildUp;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.gas.Cylinder;
import opercle.analysis.stock.WasteOutput;

/**
 * Works a trip out: from a request to its {@link Outlook}.
 *
 * <p>The tank is taken to stand at the target when the fish go in. The target is air saturation
 * with oxygen (raised a little where that is under the load's keep floor), and with air halfway
 * from the keep floor to what air can give. Unless the keeper sets a flow, the plan's own is used:
 * what the likely world needs in the first hour, then what it needs an hour after loading, rising
 * evenly to what it needs at the end.
 */
final class Trip {

  /**
   * The most gas a tank takes before fish are blown about and foam rises, litres a minute for each
   * litre of water (ours; a blower-fed holding tank has 0.03).
   */
  private static final double GAS_PER_WATER_PER_MINUTE = 0.2;

  /** What a cylinder on a lorry is reckoned to stand at, °C. */
  private static final double CYLINDER_C = 15.0;

  /** Carbon dioxide of the water that a tank is filled with, mg/L (from the worked examples). */
  private static final double START_CARBON_DIOXIDE_MG_PER_L = 2.0;

  /** How much of the open-surface exchange a lid and a full tank leave (ours, low). */
  private static final Band LID_SHARE = new Band(0.0, 0.5, 1.0);

  /** Into how many even steps the course is cut to be shown. */
  private static final int COURSE_STEPS = 48;

  private final LoadPlanRequest request;
  private final Way easy;
  private final Way likely;
  private final Way hard;

  private Trip(LoadPlanRequest request) {
    this.request = request;
    this.easy = new Way(World.EASY, request);
    this.likely = new Way(World.LIKELY, request);
    this.hard = new Way(World.HARD, request);
  }

  static Outlook outlook(LoadPlanRequest request) {
    return new Trip(request).outlook();
  }

  private Outlook outlook() {
    double later = Math.min(1.0, request.hours());
    double target = targetMgPerL();
    double end = request.hours();
    Band flowNow =
        acrossWorlds(way -> Math.max(flowToHold(way, target, 0.0), flowToHold(way, target, later)));
    Band flowLater = acrossWorlds(way -> flowToHold(way, target, later));
    // Nobody is asked to turn the gas down again while the fish settle.
    Band flowAtEnd =
        acrossWorlds(way -> Math.max(flowToHold(way, target, later), flowToHold(way, target, end)));
    double limit = GAS_PER_WATER_PER_MINUTE * request.waterLitres();
    Draw draw = draw(flowNow, flowLater, flowAtEnd, limit);
    Flow flow = draw.likely().atMost(limit);

    Course easyCourse = oxygen(easy, target, flow);
    Course likelyCourse = oxygen(likely, target, flow);
    Course hardCourse = oxygen(hard, target, flow);
    Courses taken = new Courses(taken(easy), taken(likely), taken(hard));
    Courses carbonDioxide =
        new Courses(
            carbonDioxide(World.EASY, easy, flow),
            carbonDioxide(World.LIKELY, likely, flow),
            carbonDioxide(World.HARD, hard, flow));
    OptionalDouble usable = usableLitres();
    double heldLater = Math.min(target, Math.max(0.0, likelyCourse.atHours(later)));
    double heldAtEnd = Math.min(target, Math.max(0.0, likelyCourse.endMgPerL()));
    return new Outlook(
        request.load().kg() / request.waterLitres(),
        perKg(0.0),
        perKg(later),
        likely.airSaturationMgPerL(0.0),
        target,
        flowNow,
        flowLater,
        flowAtEnd,
        limit,
        spread(lowest(easyCourse), lowest(likelyCourse), lowest(hardCourse)),
        spread(
            easyCourse.highestMgPerL(), likelyCourse.highestMgPerL(), hardCourse.highestMgPerL()),
        spread(steady(easy, end, flow), steady(likely, end, flow), steady(hard, end, flow)),
        draw.litresOver(request.minutes()),
        usable,
        usable.isPresent() ? Optional.of(draw.minutesFor(usable.getAsDouble())) : Optional.empty(),
        acrossWorlds(way -> minutesInHand(way, target, 0.0)),
        acrossWorlds(way -> minutesInHand(way, heldLater, later)),
        acrossWorlds(way -> minutesInHand(way, heldAtEnd, end)),
        tanMgPerL(taken, request.hours()),
        carbonDioxide.across(Course::highestMgPerL),
        course(new Courses(easyCourse, likelyCourse, hardCourse), taken, carbonDioxide));
  }

  private double targetMgPerL() {
    double keep = request.load().keepFloorMgPerL();
    double air = Math.min(likely.airSaturationMgPerL(0.0), likely.airSaturationMgPerL(1e9));
    if (request.gas() == Gas.OXYGEN) {
      return Math.max(air, keep + 0.5);
    }
    double best = Math.min(likely.gasSaturationMgPerL(0.0), likely.gasSaturationMgPerL(1e9));
    return best > keep ? 0.5 * (keep + best) : keep;
  }

  private static double flowToHold(Way way, double targetMgPerL, double hours) {
    double transfer =
        OxygenBalance.gasPerHourToHold(
            targetMgPerL, way.onTheRoad(hours, 0.0), way.demandMgPerLPerHour(hours));
    return transfer / way.gasPerHourPerLPerMin(hours);
  }

  private Course oxygen(Way way, double startMgPerL, Flow flow) {
    return Course.follow(
        startMgPerL,
        request.hours(),
        t -> way.onTheRoad(t, flow.at(t)).rateMgPerLPerHour(0.0) - way.demandMgPerLPerHour(t),
        t -> way.onTheRoad(t, flow.at(t)).perHour());
  }

  /** What cannot be met is reckoned on below nothing; water has none to give. */
  private static double lowest(Course course) {
    return Math.max(0.0, course.lowestMgPerL());
  }

  private static double steady(Way way, double hours, Flow flow) {
    return Math.max(
        0.0,
        OxygenBalance.steadyMgPerL(
            way.onTheRoad(hours, flow.at(hours)), way.demandMgPerLPerHour(hours)));
  }

  private double minutesInHand(Way way, double startMgPerL, double hours) {
    Exchange stopped = way.gasStopped(hours);
    return way.demandFrom(hours)
        .minutesToFloor(startMgPerL, request.load().criticalFloorMgPerL(), stopped);
  }

  /** Oxygen taken from a litre over the trip, mg/L. */
  private Course taken(Way way) {
    return Course.follow(0.0, request.hours(), way::demandMgPerLPerHour, t -> 0.0);
  }

  private Band tanMgPerL(Courses taken, double hours) {
    return WasteBuildUp.tanMgPerL(0.0, taken.across(c -> c.atHours(hours)), request.feeding());
  }

  private List<TripPoint> course(Courses oxygen, Courses taken, Courses carbonDioxide) {
    return IntStream.rangeClosed(0, COURSE_STEPS)
        .mapToDouble(i -> request.hours() * i / COURSE_STEPS)
        .mapToObj(
            t ->
                new TripPoint(
                    60.0 * t,
                    oxygen.across(c -> Math.max(0.0, c.atHours(t))),
                    tanMgPerL(taken, t),
                    carbonDioxide.across(c -> c.atHours(t))))
        .toList();
  }

  /** One concentration in the three worlds. */
  private record Courses(Course easy, Course likely, Course hard) {

    Band across(ToDoubleFunction<Course> of) {
      return spread(of.applyAsDouble(easy), of.applyAsDouble(likely), of.applyAsDouble(hard));
    }
  }

  private Course carbonDioxide(World world, Way way, Flow flow) {
    double perOxygen = world.burden(WasteOutput.carbonDioxideMgPerMgOxygen());
    double bubbles = world.help(WasteBuildUp.BUBBLE_SHARE);
    double lid = world.help(LID_SHARE) * WasteBuildUp.OVER_OXYGEN_AT_A_SURFACE;
    DoubleUnaryOperator stripping =
        t -> bubbles * flow.at(t) * way.strippingPerHourPerLPerMin(t) + lid * way.movingPerHour(t);
    return Course.follow(
        START_CARBON_DIOXIDE_MG_PER_L,
        request.hours(),
        t ->
            perOxygen * way.demandMgPerLPerHour(t)
                + stripping.applyAsDouble(t) * way.airCarbonDioxideMgPerL(t),
        stripping);
  }

  private Band perKg(double hours) {
    return acrossWorlds(
        way -> way.demandMgPerLPerHour(hours) * request.waterLitres() / request.load().kg());
  }

  /** Gas that leaves the cylinder; of a set flow all of it, also what is too much for the tank. */
  private Draw draw(Band now, Band later, Band atEnd, double limit) {
    if (request.flowLPerMin().isPresent()) {
      Flow set = Flow.steady(request.flowLPerMin().getAsDouble());
      return new Draw(set, set, set);
    }
    double minutes = request.minutes();
    return new Draw(
        new Flow(now.low(), later.low(), atEnd.low(), minutes).atMost(limit),
        new Flow(now.likely(), later.likely(), atEnd.likely(), minutes).atMost(limit),
        new Flow(now.high(), later.high(), atEnd.high(), minutes).atMost(limit));
  }

  /** The flow in the three worlds, least first. */
  private record Draw(Flow least, Flow likely, Flow most) {

    Band litresOver(double minutes) {
      return new Band(
          least.litresOver(minutes), likely.litresOver(minutes), most.litresOver(minutes));
    }

    Band minutesFor(double litres) {
      return new Band(most.minutesFor(litres), likely.minutesFor(litres), least.minutesFor(litres));
    }
  }

  private OptionalDouble usableLitres() {
    if (request.gas() != Gas.OXYGEN || request.cylinders().isEmpty()) {
      return OptionalDouble.empty();
    }
    LoadPlanRequest.Cylinders cylinders = request.cylinders().get();
    return OptionalDouble.of(
        cylinders.count()
            * new Cylinder(cylinders.waterLitres())
                .usableLitres(cylinders.bar(), CYLINDER_C, request.reserveBar()));
  }

  private Band acrossWorlds(ToDoubleFunction<Way> of) {
    return spread(of.applyAsDouble(easy), of.applyAsDouble(likely), of.applyAsDouble(hard));
  }

  /** The three worlds as a band, whichever way round they lie. */
  private static Band spread(double easy, double likely, double hard) {
    double[] sorted = {easy, likely, hard};
    Arrays.sort(sorted);
    return new Band(sorted[0], likely, sorted[2]);
  }
}
