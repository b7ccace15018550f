// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static opercle.simulator.Happening.at;

import java.time.Duration;
import java.util.List;
import opercle.analysis.farm.Tank;
import opercle.simulator.Happening.Kind;

/** The scenarios that have names. Each starts with a minute or more of an ordinary night. */
final class Scenarios {

  private static final Where HOLDING = new Where.OneTank("h2", Tank.Kind.HOLDING);
  private static final Where OTHER_HOLDING = new Where.OneTank("h3", Tank.Kind.HOLDING);
  private static final Where TRANSPORT = new Where.OneTank("t1", Tank.Kind.TRANSPORT);
  private static final Where EVERYWHERE = new Where.Everywhere();
  private static final Where BLOWER = new Where.OnBlower();

  static final List<Scenario> ALL =
      List.of(
          scenario("quiet-night", "An ordinary night: nothing happens."),
          scenario(
              "gas-line-stops",
              "A minute in, the gas line of the trailer tank t1 stops; its meter shows it.",
              at(seconds(60), Kind.VALVE_SHUTS, TRANSPORT, 1.0)),
          scenario(
              "split-after-meter",
              "The hose of the trailer tank comes off behind the meter: gas flows, none arrives.",
              at(seconds(60), Kind.LINE_SPLITS_AFTER_METER, TRANSPORT, 1.0)),
          scenario(
              "split-before-meter",
              "The line of holding tank h2 splits before the meter.",
              at(seconds(60), Kind.LINE_SPLITS_BEFORE_METER, HOLDING, 1.0)),
          scenario(
              "blower-stops",
              "The blower stops: every tank on its manifold loses its air.",
              at(seconds(60), Kind.BLOWER_STOPS, BLOWER, 1.0)),
          scenario(
              "cylinder-runs-out",
              "The trailer tank's cylinder has 8 bar left and runs out within the hour.",
              at(seconds(60), Kind.CYLINDER_DOWN_TO, TRANSPORT, 8.0)),
          scenario(
              "diffuser-blocked",
              "The diffuser of holding tank h2 blocks within ten minutes.",
              at(seconds(60), Kind.DIFFUSER_BLOCKS, HOLDING, 0.97).over(minutes(10))),
          scenario(
              "coarse-bubbles",
              "The diffuser of holding tank h3 comes apart: the same air in coarse bubbles.",
              at(seconds(60), Kind.BUBBLES_COARSEN, OTHER_HOLDING, 0.7)),
          scenario(
              "probe-in-air",
              "The probe head of holding tank h2 is lifted out of the water for ten minutes.",
              at(seconds(60), Kind.PROBE_IN_AIR, HOLDING, 1.0).lasting(minutes(10))),
          scenario(
              "probe-stuck",
              "The oxygen probe of holding tank h2 repeats one value.",
              at(seconds(60), Kind.PROBE_STUCK, HOLDING, 1.0)),
          scenario(
              "probe-drifts",
              "The oxygen probe of holding tank h2 drifts down by 2 mg/L in four hours.",
              at(seconds(60), Kind.PROBE_DRIFTS, HOLDING, -2.0).over(Duration.ofHours(4))),
          scenario(
              "probe-silent",
              "The oxygen probe of holding tank h2 falls silent.",
              at(seconds(60), Kind.PROBE_SILENT, HOLDING, 1.0)),
          scenario(
              "probe-fouled",
              "The oxygen probe of holding tank h3 is grown over within six hours.",
              at(seconds(60), Kind.PROBE_FOULED, OTHER_HOLDING, 0.6).over(Duration.ofHours(6))),
          scenario(
              "bubble-on-probe",
              "A bubble sits on the trailer tank's oxygen probe for three minutes.",
              at(seconds(60), Kind.PROBE_IN_BUBBLE, TRANSPORT, 1.0).lasting(minutes(3))),
          scenario(
              "meter-glitches",
              "The meter of holding tank h2 shows nought for a moment, and later sticks.",
              at(seconds(60), Kind.METER_SAYS_ZERO, HOLDING, 1.0).lasting(seconds(5)),
              at(seconds(200), Kind.METER_SAYS_ZERO, HOLDING, 1.0).lasting(seconds(5)),
              at(minutes(10), Kind.METER_STUCK, HOLDING, 1.0)),
          scenario(
              "partial-loss",
              "The valve of holding tank h2 creeps shut: a fifth of its air is left.",
              at(seconds(60), Kind.VALVE_SHUTS, HOLDING, 0.85).over(minutes(5))),
          scenario(
              "dead-corner",
              "The far corner of holding tank h3 is no longer stirred; its two probes part.",
              at(seconds(60), Kind.CORNER_STANDS_STILL, OTHER_HOLDING, 0.99)),
          scenario(
              "water-sours",
              "The water of holding tank h2 turns sour within an hour: bacteria take its oxygen.",
              at(seconds(60), Kind.WATER_SOURS, HOLDING, 60.0).over(Duration.ofHours(1))),
          scenario(
              "fish-added",
              "Half as many fish again are put into holding tank h3.",
              at(seconds(120), Kind.FISH_ADDED, OTHER_HOLDING, 0.5)),
          scenario(
              "feeding",
              "The fish of holding tank h3 are fed.",
              at(seconds(120), Kind.FISH_FED, OTHER_HOLDING, 1.7)),
          scenario(
              "handling",
              "The fish of holding tank h3 are netted twice, an hour apart.",
              at(seconds(120), Kind.FISH_HANDLED, OTHER_HOLDING, 1.8),
              at(minutes(62), Kind.FISH_HANDLED, OTHER_HOLDING, 1.6)),
          scenario(
              "water-changed",
              "A third of the water of holding tank h2 is changed for cooler.",
              at(seconds(120), Kind.WATER_CHANGED, HOLDING, 0.33)),
          scenario(
              "flow-trimmed",
              "The keeper turns the air of holding tank h2 down a little, and later up.",
              at(seconds(120), Kind.FLOW_TRIMMED, HOLDING, -0.12).lasting(minutes(30)),
              at(minutes(40), Kind.FLOW_TRIMMED, HOLDING, 0.2)),
          scenario(
              "warm-spell",
              "The air warms by 10 °C in six hours.",
              at(seconds(60), Kind.WARM_SPELL, EVERYWHERE, 10.0).over(Duration.ofHours(6))),
          scenario(
              "drop-outs",
              "Every tank's link is down for four minutes, comes back with a burst, and again.",
              at(seconds(120), Kind.LINK_DOWN, EVERYWHERE, 1.0).lasting(minutes(4)),
              at(minutes(20), Kind.LINK_DOWN, EVERYWHERE, 1.0).lasting(seconds(90)),
              at(seconds(0), Kind.LINK_DISORDERED, EVERYWHERE, 0.03),
              at(seconds(0), Kind.LINK_REPEATS, EVERYWHERE, 0.03)),
          scenario(
              "lid-open",
              "The trailer tank's lid stands open for twenty minutes.",
              at(seconds(120), Kind.SURFACE_STIRRED, TRANSPORT, 2.0).lasting(minutes(20))),
          scenario(
              "rough-road",
              "The trailer is on the road: splashing, noisy probes, a brake now and then.",
              at(seconds(0), Kind.SURFACE_STIRRED, TRANSPORT, 2.0),
              at(seconds(0), Kind.PROBE_NOISY, TRANSPORT, 3.0),
              at(seconds(0), Kind.PROBE_SPIKES, TRANSPORT, 1.0)),
          scenario(
              "clock-steps",
              "The clock of holding tank h2's gateway is put ahead by five minutes, then right.",
              at(seconds(120), Kind.CLOCK_STEPS, HOLDING, 300.0).lasting(minutes(20))));

  private Scenarios() {}

  private static Scenario scenario(String name, String description, Happening... happenings) {
    return new Scenario(name, description, List.of(happenings));
  }

  private static Duration seconds(long n) {
    return Duration.ofSeconds(n);
  }

  private static Duration minutes(long n) {
    return Duration.ofMinutes(n);
  }
}
