// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import java.time.Duration;
import java.time.Instant;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmGuide;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.FirstAction;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.evening.Check.Topic;
import opercle.analysis.evening.EveningCheck.TankEvening;
import opercle.analysis.farm.Tank;
import opercle.analysis.watch.TankChecks;
import opercle.analysis.watch.TankChecks.Supply;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import org.jspecify.annotations.Nullable;

/** The evening's look at one tank with fish in it. Made for the moment and thrown away. */
final class TankChecking {

  /** The watch tells a state once a second; one this old is no longer what it believes. */
  static final Duration TOO_OLD = Duration.ofSeconds(15);

  /** Until a lost supply is called where a meter sees it, minutes: ten seconds, and the way. */
  static final double NOTICED_BY_METER_MINUTES = 1.0;

  /** The same where only the oxygen shows it: the median of docs/detection.md without meters. */
  static final double NOTICED_BY_OXYGEN_MINUTES = 6.0;

  /**
   * A stop is no news until its tank's pause is over: that may take so much of the time in hand
   * (common practice).
   */
  static final double LONGEST_PAUSE_SHARE = 1.0 / 3.0;

  /** For this long past dusk water may go on warming at the present rate (common practice). */
  static final double WARMS_ON_HOURS = 3.0;

  private static final DateTimeFormatter CLOCK =
      DateTimeFormatter.ofPattern("HH:mm 'on' d MMMM", Locale.ENGLISH);

  private final Tank tank;
  private final @Nullable TankState state;
  private final EveningView view;

  TankChecking(Tank tank, @Nullable TankState state, EveningView view) {
    this.tank = tank;
    this.state = state;
    this.view = view;
  }

  TankEvening checked() {
    TankState now = state;
    if (now == null || now.time().isBefore(view.now().minus(TOO_OLD))) {
      return evening(OptionalDouble.empty(), List.of(silentWatch()));
    }
    List<Check> checks = new ArrayList<>();
    checks.add(probes(now));
    checks.add(oxygen(now));
    checks.add(supply(now));
    checks.add(timeInHand(now));
    if (tank.supply().source() == Tank.Source.CYLINDER) {
      checks.add(cylinder(now));
    }
    checks.add(water(now));
    checks.addAll(alarms(now));
    return evening(least(now.timeInHandIfGasStops()), checks);
  }

  private TankEvening evening(OptionalDouble inHand, List<Check> checks) {
    return new TankEvening(tank.id(), tank.name(), inHand, checks);
  }

  private static Check silentWatch() {
    return Check.unknown(
        Topic.PROBES,
        "The watch has said nothing of this tank of late, so nothing is known.",
        "Look at the fish, and see whether Opercle runs.");
  }

  private Check probes(TankState now) {
    return switch (now.checks().oxygenProbe()) {
      case TRUSTED -> Check.yes(Topic.PROBES, "An oxygen probe is fresh and trusted.");
      case DOUBTED ->
          Check.no(
              Topic.PROBES,
              "The oxygen probe is not to be trusted.",
              FirstAction.LOOK_THEN_SEE_PROBE.sentence());
      case NONE ->
          Check.no(
              Topic.PROBES,
              now.newestReading().isEmpty()
                  ? "Not heard since the start: nothing watches this tank."
                  : "No fresh oxygen reading: nothing watches the oxygen of this tank.",
              FirstAction.LOOK_THEN_CHECK_LINK.sentence());
      case UNKNOWN ->
          Check.unknown(
              Topic.PROBES,
              "Whether the oxygen probe can be trusted was not told.",
              FirstAction.LOOK_THEN_SEE_PROBE.sentence());
    };
  }

  private Check oxygen(TankState now) {
    if (now.oxygenMgPerL().isEmpty()) {
      return Check.unknown(
          Topic.OXYGEN, "Oxygen is not known.", FirstAction.LOOK_THEN_CHECK_LINK.sentence());
    }
    double oxygen = now.oxygenMgPerL().getAsDouble();
    double keep = tank.floorsInForce().keepMgPerL();
    if (oxygen < keep) {
      return Check.no(
          Topic.OXYGEN,
          "Oxygen %s, below the keep floor of %s."
              .formatted(Spoken.oxygen(oxygen), Spoken.oxygen(keep)),
          FirstAction.MORE_GAS.sentence());
    }
    if (now.timeInHand() instanceof TimeInHand.Unknown u) {
      return Check.unknown(
          Topic.OXYGEN,
          "Oxygen %s; where it goes is not known: %s.".formatted(Spoken.oxygen(oxygen), u.why()),
          "Ask again in five minutes.");
    }
    if (now.timeInHand() instanceof TimeInHand.Minutes m
        && m.minutes().likely() < view.minutesUntilMorning()) {
      return Check.no(
          Topic.OXYGEN,
          "Oxygen %s and falling: %s in hand as things go, not enough until the morning."
              .formatted(Spoken.oxygen(oxygen), Spoken.have(m.minutes().likely())),
          FirstAction.MORE_GAS.sentence());
    }
    return Check.yes(Topic.OXYGEN, "Oxygen %s and holding.".formatted(Spoken.oxygen(oxygen)));
  }

  private Check supply(TankState now) {
    return switch (now.checks().supply()) {
      case NORMAL -> withMargin("Gas comes as usual", now);
      case LOW ->
          Check.no(
              Topic.SUPPLY, "Less gas than usual.", FirstAction.FOLLOW_HOSE_TO_METER.sentence());
      case STOPPED -> Check.no(Topic.SUPPLY, "No gas.", restore().sentence());
      case NOT_MEASURED -> unmeteredSupply(now);
      case UNKNOWN ->
          Check.unknown(
              Topic.SUPPLY, "Whether gas comes was not told.", "Look for bubbles in the tank.");
    };
  }

  /** Fish breathe all the time: where oxygen holds, gas must be reaching the water. */
  private Check unmeteredSupply(TankState now) {
    boolean shows =
        now.checks().oxygenProbe() == TankChecks.Trust.TRUSTED
            && now.timeInHand() instanceof TimeInHand.Holding;
    return shows
        ? withMargin("No meter; the oxygen holds, so that gas must be reaching the water", now)
        : Check.unknown(
            Topic.SUPPLY,
            "No meter, and the oxygen does not show that gas reaches the water.",
            "Look for bubbles in the tank.");
  }

  private Check withMargin(String found, TankState now) {
    OptionalDouble margin = BlowerMargin.of(tank, now);
    if (margin.isEmpty()) {
      return Check.yes(Topic.SUPPLY, found + ".");
    }
    double factor = margin.getAsDouble();
    String floor = Spoken.oxygen(tank.floorsInForce().keepMgPerL());
    if (factor >= BlowerMargin.MOST) {
      return Check.yes(
          Topic.SUPPLY,
          "%s; the fish could breathe four times as much before oxygen sank to the keep floor of %s."
              .formatted(found, floor));
    }
    String words =
        "%s; the fish could breathe %d %% more before oxygen sank to the keep floor of %s."
            .formatted(found, (int) (100.0 * (factor - 1.0) + 1e-9), floor);
    return factor < BlowerMargin.LEAST
        ? Check.no(
            Topic.SUPPLY,
            words + " A meal or warmer water takes that much.",
            FirstAction.MORE_GAS.sentence())
        : Check.yes(Topic.SUPPLY, words);
  }

  private FirstAction restore() {
    return switch (tank.supply().source()) {
      case CYLINDER -> FirstAction.RESTORE_CYLINDER;
      case BLOWER -> FirstAction.RESTORE_BLOWER;
    };
  }

  private Check timeInHand(TankState now) {
    TimeInHand inHand = now.timeInHandIfGasStops();
    if (inHand instanceof TimeInHand.Holding) {
      return Check.yes(Topic.TIME_IN_HAND, "If gas stops, oxygen holds without it.");
    }
    if (inHand instanceof TimeInHand.Unknown u) {
      return Check.unknown(
          Topic.TIME_IN_HAND,
          "How long there is if gas stops is not known: %s.".formatted(u.why()),
          "See to the oxygen and temperature probes; until then count on no time at all.");
    }
    double least = least(inHand).orElse(0.0);
    if (tank.responseMinutes().isEmpty()) {
      return Check.unknown(
          Topic.TIME_IN_HAND,
          "If gas stops, %s in hand at the least; how long you take to get there was not said."
              .formatted(Spoken.have(least)),
          "Say it under Tanks and probes, at Change the tank: from the alarm at night until gas flows again.");
    }
    double response = tank.responseMinutes().getAsDouble();
    double notice = noticeMinutes(now);
    OptionalDouble pause = tank.supply().pausesMinutes();
    if (pause.isPresent() && pause.getAsDouble() > LONGEST_PAUSE_SHARE * least) {
      return Check.no(
          Topic.TIME_IN_HAND,
          "Its timer may shut the gas off for %s, and if gas stops, %s in hand at the least: too long a pause, in which nobody would know."
              .formatted(Spoken.need(pause.getAsDouble()), Spoken.have(least)),
          "Set the timer to shorter pauses, or take fish out.");
    }
    String needed =
        "%s needed, %s to notice and %s for you to get gas flowing"
            .formatted(Spoken.need(notice + response), Spoken.need(notice), Spoken.need(response));
    if (least <= notice + response) {
      return Check.no(
          Topic.TIME_IN_HAND,
          "No alarm can save this tank: if gas stops, %s in hand at the least; %s."
              .formatted(Spoken.have(least), needed),
          "Have automatic stand-by oxygen fitted, or take fish out. Until then somebody stays by"
              + " the tank.");
    }
    return Check.yes(
        Topic.TIME_IN_HAND,
        "If gas stops, %s in hand at the least; %s.".formatted(Spoken.have(least), needed));
  }

  private double noticeMinutes(TankState now) {
    boolean metered = now.checks().supply().compareTo(Supply.NOT_MEASURED) > 0;
    return tank.supply().pauseLimitMinutes()
        + (metered ? NOTICED_BY_METER_MINUTES : NOTICED_BY_OXYGEN_MINUTES);
  }

  private static OptionalDouble least(TimeInHand inHand) {
    if (inHand instanceof TimeInHand.Minutes m) {
      return OptionalDouble.of(m.minutes().low());
    }
    return inHand instanceof TimeInHand.Holding
        ? OptionalDouble.of(Double.POSITIVE_INFINITY)
        : OptionalDouble.empty();
  }

  private Check cylinder(TankState now) {
    OptionalDouble lasts = now.checks().cylinderMinutes();
    if (lasts.isEmpty()) {
      return Check.unknown(
          Topic.CYLINDER,
          "How long the cylinder lasts is not known: its pressure is not measured.",
          "Read the gauge and work it out, or have a full cylinder on a changeover valve.");
    }
    String words =
        "The cylinder lasts about %s more; the next look is in %s."
            .formatted(Spoken.have(lasts.getAsDouble()), Spoken.need(view.minutesUntilMorning()));
    return lasts.getAsDouble() < view.minutesUntilMorning()
        ? Check.no(Topic.CYLINDER, words, FirstAction.CHANGE_CYLINDER.sentence())
        : Check.yes(Topic.CYLINDER, words);
  }

  private Check water(TankState now) {
    TankChecks checks = now.checks();
    if (now.temperatureC().isEmpty() || checks.warmLimitC().isEmpty()) {
      return Check.unknown(
          Topic.WATER,
          "Water temperature is not known.",
          "See to the temperature probe; until then measure by hand.");
    }
    double celsius = now.temperatureC().getAsDouble();
    double limit = checks.warmLimitC().getAsDouble();
    if (celsius > limit) {
      return Check.no(
          Topic.WATER,
          "Water %s, above the %s that this load should have at most."
              .formatted(Spoken.celsius(celsius), Spoken.celsius(limit)),
          FirstAction.SHADE.sentence());
    }
    if (checks.warmingCPerHour().isEmpty()) {
      return Check.unknown(
          Topic.WATER,
          "Water %s; too early to tell where it goes.".formatted(Spoken.celsius(celsius)),
          "Ask again in ten minutes.");
    }
    double rate = checks.warmingCPerHour().getAsDouble();
    double hours = Math.min(WARMS_ON_HOURS, view.minutesUntilMorning() / 60.0);
    if (celsius + Math.max(0.0, rate) * hours > limit) {
      return Check.no(
          Topic.WATER,
          "Water %s and warming %s an hour: it would pass the %s that this load should have at most."
              .formatted(Spoken.celsius(celsius), Spoken.celsius(rate), Spoken.celsius(limit)),
          FirstAction.SHADE.sentence());
    }
    return Check.yes(
        Topic.WATER,
        "Water %s, below the %s that this load should have at most."
            .formatted(Spoken.celsius(celsius), Spoken.celsius(limit)));
  }

  private List<Check> alarms(TankState now) {
    List<Check> found = new ArrayList<>();
    now.outOfService().forEach(order -> found.add(outOfService(order)));
    now.alarms().stream()
        .filter(a -> a.state() != AlarmState.SUPPRESSED) // its root speaks for it
        .filter(a -> a.state() != AlarmState.NORMAL)
        .map(this::standing)
        .forEach(found::add);
    return found.isEmpty() ? List.of(Check.yes(Topic.ALARMS, "No alarm stands.")) : found;
  }

  /** Whether or not an alarm stands: none would call anybody while this lasts. */
  private Check outOfService(OutOfService order) {
    String what =
        order.cause().isPresent()
            ? "Out of service: "
                + AlarmGuide.of(order.cause().get()).title().toLowerCase(Locale.ROOT)
            : "Out of service";
    return Check.no(
        Topic.ALARMS,
        "%s, by %s until %s (%s): %s."
            .formatted(
                what,
                order.by(),
                clock(order.until()),
                order.reason(),
                order.cause().isPresent()
                    ? "that calls nobody meanwhile"
                    : "no alarm of it calls anybody"),
        "Put it back into service, or have somebody stay by the tank.");
  }

  private String clock(Instant time) {
    return CLOCK.format(time.atZone(view.zone()));
  }

  private Check standing(Alarm alarm) {
    String until = alarm.until().map(t -> " until " + clock(t)).orElse("");
    String by = alarm.by().map(b -> " by " + b).orElse("");
    return switch (alarm.state()) {
      case ACKNOWLEDGED ->
          Check.no(
              Topic.ALARMS,
              alarm.message(),
              "%s has it: make sure that it ends before the night."
                  .formatted(alarm.acknowledgedBy().orElse("Somebody")));
      case SHELVED ->
          Check.no(
              Topic.ALARMS,
              "Put aside%s%s: %s".formatted(by, until, alarm.message()),
              "Take it back from the shelf, and see to it.");
      case OUT_OF_SERVICE ->
          Check.no(
              Topic.ALARMS,
              "Out of service%s%s, so that it calls nobody: %s"
                  .formatted(by, until, alarm.message()),
              "Put it back into service, or have somebody stay by the tank.");
      case RETURNED_UNACKNOWLEDGED ->
          Check.no(
              Topic.ALARMS,
              "Was there and has gone, and nobody has looked: " + alarm.message(),
              "Look at the tank, and say that you have it.");
      case LATCHED_UNACKNOWLEDGED, LATCHED_ACKNOWLEDGED ->
          Check.no(
              Topic.ALARMS,
              "Has gone by itself and waits for somebody to look: " + alarm.message(),
              "Find out why it came, then reset it.");
      default ->
          Check.no(
              Topic.ALARMS,
              "Nobody has it: " + alarm.message(),
              "Do what it says, and say that you have it.");
    };
  }
}
