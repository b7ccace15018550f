// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.Locale;
import java.util.OptionalDouble;
import java.util.Set;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.Finding;
import opercle.analysis.alarm.FirstAction;
import opercle.analysis.alarm.Priority;
import opercle.analysis.holding.HoldingNow;
import opercle.analysis.holding.WasteJudgement;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * What there is to say about a tank, cause by cause: a sentence of fact, the time in hand, and one
 * action, with the priority that follows from them.
 */
final class Findings {

  private final TankNow tank;
  private final SlowChecks slow;
  private final HoldingChecks holding;
  private final boolean loggedEvent;
  private final ProbeFindings probes;

  /**
   * For one instant.
   *
   * @param loggedEvent whether something that explains a fall was logged of late
   * @param probes what there is to say of the probes themselves
   */
  Findings(
      TankNow tank,
      SlowChecks slow,
      HoldingChecks holding,
      boolean loggedEvent,
      ProbeFindings probes) {
    this.tank = tank;
    this.slow = slow;
    this.holding = holding;
    this.loggedEvent = loggedEvent;
    this.probes = probes;
  }

  /** The finding for a cause that is present. */
  Finding of(AlarmCause cause) {
    return switch (cause) {
      case GAS_LINE_STOPPED -> gasLineStopped();
      case GAS_NOT_REACHING_WATER, OXYGEN_FALLING -> falling(cause);
      case OXYGEN_LOW -> oxygenLow();
      case OXYGEN_HIGH -> oxygenHigh();
      case CYLINDER_LOW -> cylinderLow();
      case WATER_WARM -> waterWarm();
      case OXYGEN_UNEVEN -> oxygenUneven();
      case PROBE_SILENT -> probes.silent();
      case PROBE_SUSPECT -> probes.suspect();
      case LOAD_TOO_HEAVY -> loadTooHeavy();
      case HELD_TOO_LONG -> heldTooLong();
      case WASTE_HIGH -> wasteHigh();
    };
  }

  private Finding gasLineStopped() {
    StoppedLine line = StoppedLine.of(tank);
    TimeInHand time = tank.supplyLost();
    return finding(
        AlarmCause.GAS_LINE_STOPPED,
        Urgency.ofSupplyLoss(against(time)),
        line.gist(),
        time,
        line.fact(),
        Wording.inHand(time),
        Wording.restoreSupply(tank.tank));
  }

  private Finding falling(AlarmCause cause) {
    @Nullable OxygenProbe faller = tank.falling();
    @Nullable Fall fall = faller == null ? null : faller.fall;
    boolean supply = cause == AlarmCause.GAS_NOT_REACHING_WATER;
    @Nullable MeterProbe line = supply ? lineWithoutPressure() : null;
    if (faller == null || fall == null || (supply && !fall.sure())) {
      return line != null ? pressureLost(line) : fallingWhenLastHeard(cause);
    }
    Diagnosis diagnosis = tank.diagnosis(faller, slow.temperatureMoved(), loggedEvent);
    TimeInHand time = tank.asThingsGo(); // what it does says more than what it might do
    double rate = Math.max(0.0, -faller.slopePerMinute());
    String fact =
        (fall.sure() ? "oxygen falling " : "oxygen may be falling ")
            + Wording.rate(rate)
            + " for "
            + Wording.lasting(Micros.seconds(tank.now - fall.since()))
            + (supply ? " as if no gas reached the water; " : "; ")
            + diagnosis.words();
    Priority priority = Priority.MEDIUM; // what is only suspected wakes nobody yet
    if (fall.sure() && !PassingDip.isSettling(tank, faller, fall, against(time))) {
      boolean mayPass =
          isLikelyLost(cause, diagnosis)
              ? PassingDip.isBrief(tank, faller, fall, diagnosis, against(time))
              : PassingDip.isLikely(tank, faller, fall, diagnosis, against(time));
      priority = priorityOf(cause, tank, faller, fall, diagnosis, time, mayPass);
    }
    if (line != null && priority != Priority.HIGH) {
      return pressureLost(line); // an old fall must not speak for a line that has just gone
    }
    return finding(
        cause, priority, diagnosis.gist(), time, fact, Wording.inHand(time), diagnosis.action());
  }

  /**
   * The probe fell silent in the middle of a fall, which stands until it is heard to end. That a
   * reading is late tells nothing of the water: it is taken to go on as it went, with so much less
   * in hand. Whether silence itself is urgent is for its own alarm to say.
   */
  private Finding fallingWhenLastHeard(AlarmCause cause) {
    TankNow then = tank.whenOxygenWasLastHeard();
    @Nullable OxygenProbe faller = then.falling();
    TimeInHand time = tank.ifGasStops();
    Priority priority = Urgency.ofSupplyLoss(against(time));
    if (faller != null && faller.fall != null) {
      time = Urgency.less(then.asThingsGo(), Micros.seconds(tank.now - then.now) / 60.0);
      Diagnosis diagnosis = then.diagnosis(faller, slow.temperatureMoved(), loggedEvent);
      priority = priorityOf(cause, then, faller, faller.fall, diagnosis, time, false);
    }
    return finding(
        cause,
        priority,
        "falling when last heard",
        time,
        "oxygen was falling when last heard",
        Wording.inHand(time),
        FirstAction.LOOK_AT_FISH);
  }

  /** What the fall is worth; {@code seen}: the tank as it was judged. */
  private Priority priorityOf(
      AlarmCause cause,
      TankNow seen,
      OxygenProbe faller,
      Fall fall,
      Diagnosis diagnosis,
      TimeInHand time,
      boolean mayPass) {
    boolean bends = fall.bends(faller.trend, faller.noise());
    boolean likelyLost = isLikelyLost(cause, diagnosis);
    if (!likelyLost || PassingDip.maySettleDown(seen, faller)) {
      boolean explained = loggedEvent && !likelyLost;
      return Urgency.ofUnexplainedFall(against(time), fall.dropMgPerL(), bends, explained, mayPass);
    }
    return mayPass
        ? Priority.MEDIUM
        : Urgency.ofFall(against(time), diagnosis.supplyLost(), fall.dropMgPerL(), bends);
  }

  private static boolean isLikelyLost(AlarmCause cause, Diagnosis diagnosis) {
    return cause == AlarmCause.GAS_NOT_REACHING_WATER && diagnosis.supplyLost() >= Diagnosis.LOST;
  }

  private @Nullable MeterProbe lineWithoutPressure() {
    for (MeterProbe p : tank.probes().pressures()) {
      if (p.meter.hasStopped()) {
        return p;
      }
    }
    return null;
  }

  private Finding pressureLost(MeterProbe line) {
    TimeInHand time = tank.supplyLost();
    return finding(
        AlarmCause.GAS_NOT_REACHING_WATER,
        Urgency.ofSupplyLoss(against(time)),
        "line pressure lost",
        time,
        "line pressure is gone ("
            + Wording.bar(line.value)
            + ") for "
            + Wording.lasting(Micros.seconds(tank.now - line.meter.lowSince()))
            + " and the meter shows no stop: hose split or off, likely",
        Wording.inHand(time),
        FirstAction.FOLLOW_HOSE_TO_DIFFUSER);
  }

  private Finding oxygenLow() {
    boolean critical = tank.probes().oxygen().stream().anyMatch(p -> p.level.belowCritical());
    TimeInHand time = tank.asThingsGo();
    double floor = critical ? tank.floors().criticalMgPerL() : tank.floors().keepMgPerL();
    double lowest = Double.NaN;
    for (OxygenProbe p : tank.probes().oxygen()) {
      boolean below = critical ? p.level.belowCritical() : p.level.belowKeep();
      if (below && !(p.trend.newest() >= lowest)) {
        lowest = p.trend.newest();
      }
    }
    return finding(
        AlarmCause.OXYGEN_LOW,
        Urgency.ofLowOxygen(
            critical
                || lowest < 0.5 * (tank.floors().keepMgPerL() + tank.floors().criticalMgPerL()),
            tank.isSurelyFalling(),
            against(time)),
        critical ? "below the critical floor" : "below the keep floor",
        time,
        "oxygen "
            + Wording.oxygen(lowest)
            + (critical ? ", below the critical floor of " : ", below the keep floor of ")
            + Wording.oxygen(floor),
        time instanceof TimeInHand.Holding ? slowly() : Wording.inHand(time),
        Probes.anyStopped(tank.probes().flows())
            ? Wording.restoreSupply(tank.tank)
            : FirstAction.MORE_GAS);
  }

  /** Below a floor nobody should read that all is well; what falls slowly shows no trend. */
  private String slowly() {
    if (Probes.anyStopped(tank.probes().flows())) {
      return Wording.inHand(tank.ifGasStops());
    }
    String without = Wording.ifGasStops(tank.ifGasStops());
    return "It is not falling fast now." + (without.isEmpty() ? "" : " " + without);
  }

  private Finding oxygenHigh() {
    String percent = Math.round(tank.saturationPercent().orElse(0.0)) + " %";
    return finding(
        AlarmCause.OXYGEN_HIGH,
        Priority.LOW,
        "supersaturated",
        tank.asThingsGo(),
        "oxygen at " + percent + " of saturation, more than it should need",
        "",
        FirstAction.LESS_GAS);
  }

  private Finding cylinderLow() {
    double minutes = slow.cylinderMinutes();
    return finding(
        AlarmCause.CYLINDER_LOW,
        Urgency.ofCylinder(minutes - Urgency.extraMinutes(tank.tank)),
        "cylinder low",
        tank.asThingsGo(),
        minutes < 1.0
            ? "the cylinder is down to its reserve"
            : "the cylinder lasts about " + Wording.minutes(minutes) + " more",
        "",
        FirstAction.READY_CYLINDER);
  }

  private Finding waterWarm() {
    OptionalDouble celsius = tank.probes().lastKnown(Quantity.TEMPERATURE);
    boolean warming = slow.isWarming(tank.now);
    String now = Wording.celsius(celsius.orElse(Double.NaN));
    return finding(
        AlarmCause.WATER_WARM,
        Priority.MEDIUM,
        warming ? "warming fast" : "too warm",
        tank.asThingsGo(),
        warming
            ? "water " + now + " and warming " + Wording.celsius(slow.warmingPerHour()) + " an hour"
            : "water "
                + now
                + ", above the "
                + Wording.celsius(SlowChecks.warmLimitC(tank.tank))
                + " that this load should have at most",
        "",
        FirstAction.SHADE);
  }

  private Finding oxygenUneven() {
    return finding(
        AlarmCause.OXYGEN_UNEVEN,
        Priority.MEDIUM,
        "probes disagree",
        tank.asThingsGo(),
        "two oxygen probes are " + Wording.oxygen(SlowChecks.spread(tank)) + " apart",
        Wording.inHand(tank.asThingsGo()),
        FirstAction.COMPARE_PROBES);
  }

  private Finding loadTooHeavy() {
    TimeInHand time = tank.ifGasStops();
    return finding(
        AlarmCause.LOAD_TOO_HEAVY,
        Priority.MEDIUM,
        "supply too small",
        time,
        "oxygen stays below the keep floor with the gas on: the load takes more than it gets",
        Wording.ifGasStops(time),
        FirstAction.LIGHTEN);
  }

  /** Never urgent: it waits for the morning. */
  private Finding heldTooLong() {
    HoldingNow now = holding.now().orElseThrow();
    return finding(
        AlarmCause.HELD_TOO_LONG,
        Priority.LOW,
        "held too long",
        tank.asThingsGo(),
        String.format(
            Locale.ROOT,
            "fish held for %d days at %.0f kg in a cubic metre; %s",
            (int) now.daysHeld().orElse(0.0),
            now.densityKgPerM3(),
            now.limits().daysAreTheKeepers()
                ? Wording.plain(now.limits().days()) + " days are set for it"
                : Wording.plain(now.limits().days()) + " days are usual"),
        "",
        FirstAction.MOVE_ON);
  }

  private Finding wasteHigh() {
    WasteJudgement waste = holding.waste().orElseThrow();
    return finding(
        AlarmCause.WASTE_HIGH,
        waste.priority(),
        waste.measured() ? "measured" : "reckoned",
        tank.asThingsGo(),
        waste.fact(),
        "",
        FirstAction.CHANGE_WATER);
  }

  /**
   * The words for the end of a cause.
   *
   * @param present what is the matter still
   */
  Finding allClear(AlarmCause cause, Set<AlarmCause> present) {
    boolean toldOtherwise =
        cause == AlarmCause.OXYGEN_FALLING
            && (present.contains(AlarmCause.GAS_NOT_REACHING_WATER)
                || present.contains(AlarmCause.GAS_LINE_STOPPED));
    String fact = toldOtherwise ? "another alarm speaks for this fall now" : isOver(cause);
    OptionalDouble oxygen = tank.oxygenMgPerL();
    return new Finding(
        cause,
        Priority.LOW,
        fact,
        tank.asThingsGo().likelyMinutes(),
        oxygen,
        tank.tank.name()
            + ": "
            + fact
            + (oxygen.isPresent() ? ", oxygen " + Wording.oxygen(oxygen.getAsDouble()) : "")
            + ".");
  }

  private static String isOver(AlarmCause cause) {
    return switch (cause) {
      case GAS_LINE_STOPPED -> "gas is flowing again";
      case GAS_NOT_REACHING_WATER, OXYGEN_FALLING -> "oxygen is no longer falling";
      case OXYGEN_LOW -> "oxygen is above the keep floor again";
      case OXYGEN_HIGH -> "oxygen is no longer too high";
      case CYLINDER_LOW -> "the cylinder has gas enough";
      case WATER_WARM -> "the water is no longer too warm";
      case OXYGEN_UNEVEN -> "the oxygen probes agree again";
      case PROBE_SILENT -> "all probes are heard again";
      case PROBE_SUSPECT -> "the probes make sense again";
      case LOAD_TOO_HEAVY -> "the supply keeps up with the load again";
      case HELD_TOO_LONG -> "these fish are no longer held too long";
      case WASTE_HIGH -> "waste in the water is no longer too high";
    };
  }

  private TimeInHand against(TimeInHand time) {
    return Urgency.against(tank.tank, time);
  }

  private Finding finding(
      AlarmCause cause,
      Priority priority,
      String gist,
      TimeInHand time,
      String fact,
      String inHand,
      FirstAction action) {
    return finding(tank, cause, priority, gist, time, fact, inHand, action);
  }

  /** A finding about a tank, in the words of every finding. */
  static Finding finding(
      TankNow tank,
      AlarmCause cause,
      Priority priority,
      String gist,
      TimeInHand time,
      String fact,
      String inHand,
      FirstAction action) {
    return new Finding(
        cause,
        priority,
        gist,
        time.likelyMinutes(),
        tank.oxygenMgPerL(),
        Wording.sentences(tank.tank, fact, inHand, action));
  }
}
