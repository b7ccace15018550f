// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import opercle.analysis.alarm.FirstAction;
import opercle.analysis.farm.Tank;

/**
 * What may be behind a fall of oxygen, likeliest first: naive Bayes over what the tank's other
 * signals say. It chooses words and priority; it never withholds an alarm.
 *
 * <p>Likelihoods of flow, pressure, probes, temperature and logged events are the starting table of
 * the detection notes, section 6: design priors, not measurements. The rate against the load's
 * demand is our own (<i>common practice</i>): a lost supply falls at the demand, a surge at a part
 * of it. No signal may speak by more than a thousand to one, so that none that lies settles it
 * alone.
 */
final class Diagnosis {

  private static final double CAP = 1000.0;

  /** Flow against the line's normal. */
  enum Flow {
    NONE,
    LOW,
    NORMAL,
    HIGH,
    NOT_MEASURED
  }

  /** Line pressure against its normal. */
  enum Pressure {
    LOW,
    NORMAL,
    HIGH,
    NOT_MEASURED
  }

  /**
   * What the other signals say.
   *
   * @param flow gas flow
   * @param pressure line pressure
   * @param otherProbes how many other trusted oxygen probes there are
   * @param othersFall how many of them fall too
   * @param temperatureMoved whether the water's temperature has moved
   * @param loggedEvent whether something that explains a fall was logged of late
   * @param bends whether the fall has slackened
   * @param rateOverDemand the fall's rate over the demand that the load is taken to have; NaN where
   *     that is not known
   * @param rateError standard error of the rate, as a share of it
   * @param dropMgPerL how far it has fallen so far
   */
  record Evidence(
      Flow flow,
      Pressure pressure,
      int otherProbes,
      int othersFall,
      boolean temperatureMoved,
      boolean loggedEvent,
      boolean bends,
      double rateOverDemand,
      double rateError,
      double dropMgPerL) {}

  /** One possible cause with its share of the odds. */
  record Suspect(Cause cause, double probability) {}

  /** What can make oxygen fall. */
  enum Cause {
    /** Where no meter tells on which side of it. */
    HOSE_SPLIT("hose split or off", true),
    SPLIT_AFTER_METER("hose split or off after the meter", true),
    SPLIT_BEFORE_METER("hose split or off before the meter", true),
    DIFFUSER_BLOCKED("diffuser blocked", true),
    CYLINDER_EMPTY("cylinder empty", true),
    VALVE_CLOSED("valve closed", true),
    BLOWER_FAILED("blower stopped", true),
    PROBE_BAD("probe drifting or fouled", false),
    TEMPERATURE_SWING("water warming", false),
    NEW_FISH("fish just put in", false),
    SURGE("feeding or handling", false);

    private final String words;
    private final boolean supplyLost;

    Cause(String words, boolean supplyLost) {
      this.words = words;
      this.supplyLost = supplyLost;
    }

    /** As people say it. */
    String words() {
      return words;
    }

    /** Whether the water gets no gas, or not enough. */
    boolean isSupplyLost() {
      return supplyLost;
    }

    private boolean isPossible(Tank.Source source, boolean metered) {
      return switch (this) {
        case HOSE_SPLIT -> !metered;
        case SPLIT_AFTER_METER, SPLIT_BEFORE_METER -> metered;
        case CYLINDER_EMPTY -> source == Tank.Source.CYLINDER;
        case BLOWER_FAILED -> source == Tank.Source.BLOWER;
        default -> true;
      };
    }
  }

  private record FlowOdds(double none, double low, double normal, double high) {
    double of(Flow flow) {
      return switch (flow) {
        case NONE -> none;
        case LOW -> low;
        case NORMAL -> normal;
        case HIGH -> high;
        case NOT_MEASURED -> 1.0;
      };
    }
  }

  private record PressureOdds(double low, double normal, double high) {
    double of(Pressure pressure) {
      return switch (pressure) {
        case LOW -> low;
        case NORMAL -> normal;
        case HIGH -> high;
        case NOT_MEASURED -> 1.0;
      };
    }
  }

  /** How likely each signal is, given the cause; the last three are those of "yes". */
  private record Row(
      double prior,
      FlowOdds flow,
      PressureOdds pressure,
      double othersFall,
      double temperatureMoved,
      double logged) {}

  private static final FlowOdds UNKNOWN = new FlowOdds(1.0, 1.0, 1.0, 1.0);
  private static final FlowOdds AS_USUAL = new FlowOdds(.001, .01, .98, .01);
  private static final PressureOdds AS_USUAL_TOO = new PressureOdds(.01, .98, .01);

  private static Row row(Cause cause) {
    return switch (cause) {
      case HOSE_SPLIT -> new Row(.25, UNKNOWN, new PressureOdds(.90, .09, .01), .95, .02, .15);
      case SPLIT_AFTER_METER ->
          new Row(
              .15,
              new FlowOdds(.02, .08, .40, .50),
              new PressureOdds(.85, .14, .01),
              .95,
              .02,
              .15);
      case SPLIT_BEFORE_METER ->
          new Row(
              .10,
              new FlowOdds(.90, .09, .01, .001),
              new PressureOdds(.97, .02, .01),
              .95,
              .02,
              .15);
      case DIFFUSER_BLOCKED ->
          new Row(
              .10,
              new FlowOdds(.55, .42, .03, .001),
              new PressureOdds(.01, .19, .80),
              .90,
              .02,
              .05);
      case CYLINDER_EMPTY ->
          new Row(
              .12,
              new FlowOdds(.70, .29, .01, .001),
              new PressureOdds(.95, .04, .01),
              .95,
              .02,
              .02);
      case VALVE_CLOSED ->
          new Row(
              .12,
              new FlowOdds(.95, .04, .01, .001),
              new PressureOdds(.60, .10, .30),
              .95,
              .02,
              .60);
      case BLOWER_FAILED ->
          new Row(
              .15,
              new FlowOdds(.95, .04, .01, .001),
              new PressureOdds(.97, .02, .01),
              .95,
              .05,
              .05);
      case PROBE_BAD -> new Row(.08, AS_USUAL, AS_USUAL_TOO, .005, .02, .05);
      case TEMPERATURE_SWING -> new Row(.04, AS_USUAL, AS_USUAL_TOO, .30, .98, .10);
      case NEW_FISH -> new Row(.06, AS_USUAL, AS_USUAL_TOO, .70, .20, .95);
      case SURGE -> new Row(2.0, AS_USUAL, AS_USUAL_TOO, .60, .05, .90);
    };
  }

  private final List<Suspect> suspects;

  private Diagnosis(List<Suspect> suspects) {
    this.suspects = suspects;
  }

  /** Weighs the evidence. */
  static Diagnosis of(Evidence e, Tank.Source source) {
    double greatest = Double.NEGATIVE_INFINITY;
    boolean metered = e.flow() != Flow.NOT_MEASURED;
    List<Suspect> logs = new ArrayList<>();
    for (Cause cause : Cause.values()) {
      if (cause.isPossible(source, metered)) {
        double log = Math.log(row(cause).prior()) + logLikelihood(cause, e);
        greatest = Math.max(greatest, log);
        logs.add(new Suspect(cause, log));
      }
    }
    double sum = 0.0;
    for (Suspect s : logs) {
      sum += Math.exp(s.probability() - greatest);
    }
    List<Suspect> suspects = new ArrayList<>();
    for (Suspect s : logs) {
      suspects.add(new Suspect(s.cause(), Math.exp(s.probability() - greatest) / sum));
    }
    suspects.sort(Comparator.comparingDouble(Suspect::probability).reversed());
    return new Diagnosis(List.copyOf(suspects));
  }

  private static double logLikelihood(Cause c, Evidence e) {
    Row row = row(c);
    double log = capped(row.flow().of(e.flow())) + capped(row.pressure().of(e.pressure()));
    if (e.otherProbes() > 0) {
      log += capped(yesOrNo(row.othersFall(), e.othersFall() > 0));
    }
    log += capped(yesOrNo(row.temperatureMoved(), e.temperatureMoved()));
    log += capped(yesOrNo(row.logged(), e.loggedEvent()));
    if (e.bends()) {
      log += capped(c.isSupplyLost() ? 0.1 : 0.6);
    }
    if (!Double.isNaN(e.rateOverDemand())) {
      log += capped(rateDensity(c, e));
    }
    return log + capped(Math.exp(-Math.max(0.0, e.dropMgPerL()) / usualDepthMgPerL(c)));
  }

  /**
   * How deep such a fall goes before it ends by itself, on average, mg/L (<i>common practice</i>;
   * by the mass balance a demand half as large again deepens the deficit of an aerated tank by a
   * half, and deficits are two to three). A lost supply ends at no depth.
   */
  private static double usualDepthMgPerL(Cause c) {
    return switch (c) {
      case SURGE, NEW_FISH -> 1.2;
      case TEMPERATURE_SWING -> 0.5;
      case PROBE_BAD -> 3.0;
      default -> Double.POSITIVE_INFINITY;
    };
  }

  /** Density of the logarithm of rate over demand: full or partial loss, surge, slow drift. */
  private static double rateDensity(Cause c, Evidence e) {
    double x = Math.log(Math.max(1e-3, e.rateOverDemand()));
    double error = Math.min(0.7, e.rateError());
    if (c.isSupplyLost()) {
      // Much faster than the demand speaks less and less for it, but for nothing else much more.
      return 0.7
              * normal(Math.min(x, 0.5), 0.0, Math.hypot(0.5, error))
              * Math.exp(Math.min(0.0, 0.5 - x))
          + 0.3 * normal(x, -0.8, Math.hypot(0.8, error));
    }
    return switch (c) {
      case SURGE, NEW_FISH -> normal(x, -1.1, Math.hypot(0.5, error));
      case TEMPERATURE_SWING -> normal(x, -2.5, Math.hypot(0.8, error));
      default -> 0.06 + 0.5 * normal(x, -3.0, 1.0); // a probe fouls slowly
    };
  }

  private static double normal(double x, double mean, double sd) {
    double z = (x - mean) / sd;
    return Math.exp(-0.5 * z * z) / (sd * Math.sqrt(2.0 * Math.PI));
  }

  private static double yesOrNo(double yes, boolean is) {
    return is ? yes : 1.0 - yes;
  }

  private static double capped(double likelihood) {
    return Math.log(Math.max(1.0 / CAP, likelihood));
  }

  /** All suspects, likeliest first; their probabilities add up to one. */
  List<Suspect> suspects() {
    return suspects;
  }

  /** From here on it is called a lost supply: to call one something else is the dearer mistake. */
  static final double LOST = 0.4;

  /** From here on one thing is the likeliest by far, and an earlier word is taken back for it. */
  static final double LIKELIEST = 0.6;

  /** How likely it is that the water gets no gas, or not enough. */
  double supplyLost() {
    return suspects.stream()
        .filter(s -> s.cause().isSupplyLost())
        .mapToDouble(Suspect::probability)
        .sum();
  }

  /** Whether nothing is likelier than that the probe is at fault, not the water. */
  boolean isLikeliestTheProbe() {
    return suspects.get(0).cause() == Cause.PROBE_BAD;
  }

  /** What it comes to, in words that change only when it does. */
  String gist() {
    Suspect first = suspects.get(0);
    return first.probability() >= LIKELIEST
        ? first.cause().words()
        : supplyLost() >= LOST ? "supply lost" : "not clear";
  }

  /** The two likeliest, with odds, as a clause. */
  String words() {
    Suspect first = suspects.get(0);
    Suspect second = suspects.get(1);
    return "likeliest %s (%s), else %s (%s)"
        .formatted(
            first.cause().words(),
            percent(first.probability()),
            second.cause().words(),
            percent(second.probability()));
  }

  private static String percent(double probability) {
    return Math.round(100.0 * Math.min(0.99, probability)) + " %";
  }

  /** What to do first. */
  FirstAction action() {
    return action(suspects.get(0).cause());
  }

  static FirstAction action(Cause likeliest) {
    return switch (likeliest) {
      case HOSE_SPLIT -> FirstAction.FOLLOW_HOSE;
      case SPLIT_AFTER_METER -> FirstAction.FOLLOW_HOSE_TO_DIFFUSER;
      case SPLIT_BEFORE_METER -> FirstAction.FOLLOW_HOSE_TO_METER;
      case DIFFUSER_BLOCKED -> FirstAction.LIFT_DIFFUSER;
      case CYLINDER_EMPTY -> FirstAction.CHANGE_CYLINDER;
      case VALVE_CLOSED -> FirstAction.OPEN_VALVES;
      case BLOWER_FAILED -> FirstAction.RESTORE_BLOWER;
      case PROBE_BAD -> FirstAction.LOOK_THEN_CHECK_PROBE;
      case TEMPERATURE_SWING, NEW_FISH, SURGE -> FirstAction.MORE_GAS;
    };
  }
}
