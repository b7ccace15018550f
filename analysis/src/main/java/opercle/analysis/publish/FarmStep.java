// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.watch.TankEvent;

/** What a changed description says that people have just done at the tanks. Pure. */
final class FarmStep {

  private FarmStep() {}

  /** What was done at tanks that the farm had before and has now. */
  static List<TankEvent> done(Farm before, Farm after, Instant now, String by) {
    List<TankEvent> events = new ArrayList<>();
    for (Tank tank : after.tanks()) {
      before.tank(tank.id()).ifPresent(was -> add(events, was, tank, now, by));
    }
    return events;
  }

  private static void add(List<TankEvent> events, Tank was, Tank is, Instant now, String by) {
    double more = is.loadKg() - was.loadKg();
    if (more > 0.0) {
      events.add(event(is, TankEvent.Kind.FISH_ADDED, now, by));
    } else if (more < 0.0) {
      events.add(event(is, TankEvent.Kind.FISH_REMOVED, now, by));
    }
    Tank.Supply old = was.supply();
    Tank.Supply supply = is.supply();
    if (old.flowLPerMin() != supply.flowLPerMin()
        || old.gas() != supply.gas()
        || old.source() != supply.source()) {
      events.add(event(is, TankEvent.Kind.GAS_CHANGED, now, by));
    }
  }

  private static TankEvent event(Tank tank, TankEvent.Kind kind, Instant now, String by) {
    return new TankEvent(tank.id(), kind, now, Optional.of(by));
  }
}
