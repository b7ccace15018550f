// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;
import java.util.stream.Stream;
import opercle.simulator.NightKind;
import opercle.simulator.NightKind.Group;

/**
 * How the watch did in simulated nights, beside the plain rules and the theoretical limit. The same
 * plan gives the same figures. Immutable; safe for many threads.
 */
public final class Assessment {

  static final String ALL = "all";

  private final AssessmentPlan plan;
  private final List<FaultRow> faults;
  private final List<ProbeRow> probes;
  private final List<FalseAlarmRow> falseAlarms;
  private final List<Calibration> calibration;
  private final Confusion confusion;

  private Assessment(AssessmentPlan plan, List<NightRecord> nights) {
    this.plan = plan;
    faults = faultRows(nights);
    probes =
        kinds(k -> k.group() == Group.PROBE_FAULT)
            .map(k -> ProbeRow.of(k.id(), of(k, nights)))
            .filter(row -> row.nights() > 0)
            .toList();
    falseAlarms =
        Stream.of(
                FalseAlarmRow.of(Group.QUIET, nights),
                FalseAlarmRow.of(Group.NUISANCE, nights),
                FalseAlarmRow.of(Group.PROBE_FAULT, nights),
                FalseAlarmRow.beforeFaults(nights))
            .toList();
    calibration = Calibration.all(nights);
    confusion = Confusion.of(nights);
  }

  /**
   * Plays the nights, on all cores, and judges them. Takes some tenths of a second for each night.
   *
   * @param afterEachNight told from any of several threads, for a progress bar
   */
  public static Assessment run(AssessmentPlan plan, Runnable afterEachNight) {
    // In order of the plan, whichever core is first: the result does not depend on the machine.
    return of(
        plan,
        plan.plannedNights().parallelStream()
            .map(
                planned -> {
                  NightRecord record = NightRun.play(planned, plan.changes());
                  afterEachNight.run();
                  return record;
                })
            .toList());
  }

  /** Judges nights that were played. */
  static Assessment of(AssessmentPlan plan, List<NightRecord> nights) {
    return new Assessment(plan, nights);
  }

  private static List<FaultRow> faultRows(List<NightRecord> nights) {
    List<FaultRow> rows = new ArrayList<>();
    kinds(NightKind::isFault)
        .map(k -> FaultRow.of(k.id(), of(k, nights)))
        .filter(row -> row.nights() > 0)
        .forEach(rows::add);
    rows.add(FaultRow.of(ALL, nights.stream().filter(n -> n.kind().isFault()).toList()));
    return List.copyOf(rows);
  }

  private static Stream<NightKind> kinds(Predicate<NightKind> which) {
    return Stream.of(NightKind.values()).filter(which);
  }

  private static List<NightRecord> of(NightKind kind, List<NightRecord> nights) {
    return nights.stream().filter(n -> n.kind() == kind).toList();
  }

  /** As tables for a terminal of 100 columns. */
  public String text() {
    return AssessmentText.of(this);
  }

  /** The same as a JSON tree. */
  public ObjectNode json() {
    return AssessmentJson.of(this);
  }

  AssessmentPlan plan() {
    return plan;
  }

  /** By kind, and last over all of them. */
  List<FaultRow> faults() {
    return faults;
  }

  List<ProbeRow> probes() {
    return probes;
  }

  List<FalseAlarmRow> falseAlarms() {
    return falseAlarms;
  }

  List<Calibration> calibration() {
    return calibration;
  }

  Confusion confusion() {
    return confusion;
  }
}
