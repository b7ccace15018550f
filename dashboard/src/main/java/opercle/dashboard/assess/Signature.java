// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static opercle.analysis.alarm.AlarmCause.CYLINDER_LOW;
import static opercle.analysis.alarm.AlarmCause.GAS_LINE_STOPPED;
import static opercle.analysis.alarm.AlarmCause.GAS_NOT_REACHING_WATER;
import static opercle.analysis.alarm.AlarmCause.LOAD_TOO_HEAVY;
import static opercle.analysis.alarm.AlarmCause.OXYGEN_FALLING;
import static opercle.analysis.alarm.AlarmCause.OXYGEN_LOW;
import static opercle.analysis.alarm.AlarmCause.OXYGEN_UNEVEN;
import static opercle.analysis.alarm.AlarmCause.PROBE_SILENT;
import static opercle.analysis.alarm.AlarmCause.PROBE_SUSPECT;

import java.util.EnumSet;
import java.util.Set;
import opercle.analysis.alarm.AlarmCause;
import opercle.simulator.NightKind;
import opercle.simulator.probe.Fittings;

/**
 * Which causes name a night's event rightly, given the instruments that the tank has: nobody can
 * tell a shut valve from a split hose without a meter. After the table of causes in the alarm
 * contract; where two words are both true, either is taken.
 */
final class Signature {

  /** Causes that say: too little oxygen comes in, or soon will. */
  static final Set<AlarmCause> SUPPLY_OR_OXYGEN =
      Set.copyOf(
          EnumSet.of(
              GAS_LINE_STOPPED,
              GAS_NOT_REACHING_WATER,
              OXYGEN_FALLING,
              OXYGEN_LOW,
              CYLINDER_LOW,
              LOAD_TOO_HEAVY));

  /** Causes that say: do not trust a probe. */
  static final Set<AlarmCause> PROBE =
      Set.copyOf(EnumSet.of(PROBE_SILENT, PROBE_SUSPECT, OXYGEN_UNEVEN));

  private Signature() {}

  /** Causes that name it; empty for kinds that there is nothing to say of. */
  static Set<AlarmCause> causes(NightKind kind, Fittings fittings) {
    boolean meter = fittings.flowMeter();
    Set<AlarmCause> causes = EnumSet.noneOf(AlarmCause.class);
    switch (kind) {
      case LINE_STOPS,
          SPLIT_BEFORE_METER,
          BLOWER_STOPS,
          LINE_STOPS_WHILE_FED,
          LINE_STOPS_WHILE_LINK_IS_DOWN ->
          causes.add(meter ? GAS_LINE_STOPPED : GAS_NOT_REACHING_WATER);
      case SPLIT_AFTER_METER,
          SPLIT_AFTER_METER_WITH_FOULED_PROBE,
          BUBBLES_COARSEN,
          LINE_STOPS_WHILE_METER_IS_STUCK ->
          causes.add(GAS_NOT_REACHING_WATER);
      case DIFFUSER_BLOCKS, DIFFUSER_BLOCKS_SLOWLY -> {
        causes.add(GAS_NOT_REACHING_WATER);
        if (meter) {
          causes.add(GAS_LINE_STOPPED);
        }
      }
      case CYLINDER_RUNS_OUT -> {
        if (fittings.cylinderGauge()) {
          causes.add(CYLINDER_LOW);
        }
        causes.add(meter ? GAS_LINE_STOPPED : GAS_NOT_REACHING_WATER);
      }
      case PARTIAL_LOSS -> {
        causes.add(GAS_NOT_REACHING_WATER);
        causes.add(OXYGEN_FALLING);
        if (meter) {
          causes.add(GAS_LINE_STOPPED);
        }
      }
      case LOAD_TOO_HEAVY -> {
        causes.add(LOAD_TOO_HEAVY);
        causes.add(OXYGEN_FALLING);
      }
      case WATER_SOURS -> causes.add(OXYGEN_FALLING);
      case PROBE_SILENT -> causes.add(PROBE_SILENT);
      case PROBE_DRIFTS, PROBE_FOULED -> {
        causes.add(PROBE_SUSPECT);
        if (fittings.oxygenProbes() > 1) {
          causes.add(OXYGEN_UNEVEN);
        }
      }
      case PROBE_STUCK, PROBE_IN_AIR, PROBE_IN_BUBBLE, PROBE_SPIKES -> causes.add(PROBE_SUSPECT);
      default -> {
        // Quiet nights and nuisances: nothing to say.
      }
    }
    return causes;
  }

  /** Whether all gas is lost at the onset, so that the time in hand if gas stops is on trial. */
  static boolean losesAllGasAtOnset(NightKind kind) {
    return switch (kind) {
      case LINE_STOPS,
          SPLIT_BEFORE_METER,
          SPLIT_AFTER_METER,
          BLOWER_STOPS,
          LINE_STOPS_WHILE_FED,
          LINE_STOPS_WHILE_LINK_IS_DOWN,
          LINE_STOPS_WHILE_METER_IS_STUCK,
          SPLIT_AFTER_METER_WITH_FOULED_PROBE ->
          true;
      default -> false;
    };
  }

  /**
   * Whether the fall begins with the onset at its full rate, as the detection limit takes it to.
   */
  static boolean fallsFromTheOnset(NightKind kind) {
    return switch (kind) {
      case PARTIAL_LOSS, BUBBLES_COARSEN, LOAD_TOO_HEAVY -> true;
      default -> losesAllGasAtOnset(kind);
    };
  }
}
