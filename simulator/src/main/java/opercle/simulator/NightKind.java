// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** What a simulated night is about. How hard and when is drawn by the seed. */
public enum NightKind {
  /** Nothing but ordinary life: small trims, a lost packet, a spike. */
  QUIET(Group.QUIET),

  /** A valve is shut or a line comes off at the source: the meter shows it. */
  LINE_STOPS(Group.SUPPLY_FAULT),
  /** A line splits before the meter. */
  SPLIT_BEFORE_METER(Group.SUPPLY_FAULT),
  /** A hose comes off or splits behind the meter: the meter does not show it. */
  SPLIT_AFTER_METER(Group.SUPPLY_FAULT),
  /** A diffuser blocks within minutes. */
  DIFFUSER_BLOCKS(Group.SUPPLY_FAULT),
  /** A diffuser comes apart: the same gas, in bubbles too coarse to dissolve. */
  BUBBLES_COARSEN(Group.SUPPLY_FAULT),
  /** The blower stops, and with it every tank on the manifold. */
  BLOWER_STOPS(Group.SUPPLY_FAULT),
  /** The cylinder runs out. */
  CYLINDER_RUNS_OUT(Group.SUPPLY_FAULT),
  /** More than half of the gas is lost, not all of it. */
  PARTIAL_LOSS(Group.SUPPLY_FAULT),
  /** A diffuser blocks over hours. */
  DIFFUSER_BLOCKS_SLOWLY(Group.SUPPLY_FAULT),
  /** The line stops while the fish still digest a meal. */
  LINE_STOPS_WHILE_FED(Group.SUPPLY_FAULT),
  /** The line stops while the link is down. */
  LINE_STOPS_WHILE_LINK_IS_DOWN(Group.SUPPLY_FAULT),
  /** The line stops and the meter has stuck at its last value. */
  LINE_STOPS_WHILE_METER_IS_STUCK(Group.SUPPLY_FAULT),
  /** The hose comes off behind the meter while the oxygen probe is grown over. */
  SPLIT_AFTER_METER_WITH_FOULED_PROBE(Group.SUPPLY_FAULT),

  /** So many fish are added that the supply cannot keep them. */
  LOAD_TOO_HEAVY(Group.DEMAND_FAULT),
  /** The water turns sour: bacteria take the oxygen. */
  WATER_SOURS(Group.DEMAND_FAULT),

  /** The fish are fed. */
  FEEDING(Group.NUISANCE),
  /** The fish are netted, once or more. */
  HANDLING(Group.NUISANCE),
  /** A few fish are added. */
  FISH_ADDED(Group.NUISANCE),
  /** Part of the water is changed. */
  WATER_CHANGED(Group.NUISANCE),
  /** The lid is open for a while, or the road is rough. */
  SURFACE_STIRRED(Group.NUISANCE),
  /** The keeper trims the flow several times. */
  FLOW_TRIMMED(Group.NUISANCE),
  /** On the road: stirred, noisy, splashing. */
  ROAD(Group.NUISANCE),
  /** A warm day or night. */
  WARM_SPELL(Group.NUISANCE),
  /** The meter shows nought for a sample, restarts, sticks. */
  METER_GLITCHES(Group.NUISANCE),
  /** The link goes down and comes back with a burst, several times. */
  DROP_OUTS(Group.NUISANCE),
  /** Readings come late, twice and out of order. */
  DISORDER(Group.NUISANCE),
  /** A gateway's clock steps. */
  CLOCK_STEPS(Group.NUISANCE),

  /** The oxygen probe sticks. */
  PROBE_STUCK(Group.PROBE_FAULT),
  /** The oxygen probe drifts. */
  PROBE_DRIFTS(Group.PROBE_FAULT),
  /** The oxygen probe is grown over. */
  PROBE_FOULED(Group.PROBE_FAULT),
  /** The probe head hangs out of the water. */
  PROBE_IN_AIR(Group.PROBE_FAULT),
  /** Bubbles sit on the oxygen probe. */
  PROBE_IN_BUBBLE(Group.PROBE_FAULT),
  /** The oxygen probe spikes. */
  PROBE_SPIKES(Group.PROBE_FAULT),
  /** The oxygen probe falls silent. */
  PROBE_SILENT(Group.PROBE_FAULT);

  /** What a watch ought to make of it. */
  public enum Group {
    /** Nothing to say. */
    QUIET,
    /** Gas no longer does its work: somebody must be woken in time. */
    SUPPLY_FAULT,
    /** More is breathed than comes in: somebody must be woken in time. */
    DEMAND_FAULT,
    /** Looks like trouble and is none. */
    NUISANCE,
    /** The tank is well and its probe is not. */
    PROBE_FAULT
  }

  private final Group group;

  NightKind(Group group) {
    this.group = group;
  }

  /** What a watch ought to make of it. */
  public Group group() {
    return group;
  }

  /**
   * Whether supply or demand has gone wrong. Not every such night ends badly: a light load may live
   * on what the surface brings. What does happen is in {@link Truth}.
   */
  public boolean isFault() {
    return group == Group.SUPPLY_FAULT || group == Group.DEMAND_FAULT;
  }

  /** The word in reports, for instance {@code split-after-meter}. */
  public String id() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** The kind of that id, or empty. */
  public static Optional<NightKind> of(String id) {
    return Arrays.stream(values()).filter(k -> k.id().equals(id)).findFirst();
  }
}
