// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static opercle.analysis.records.Ledger.NOWHERE;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;

/** One trace forwards; used once, by one thread. */
final class ForwardTrace {

  static final double NONE = 1.0e-9;

  private final Ledger ledger;
  private final double[] traced;
  private final boolean[] perhaps;
  private final double[] carried;
  private final boolean[] carriedPerhaps;
  private double fish;
  private double died;

  ForwardTrace(Ledger ledger) {
    this.ledger = ledger;
    traced = new double[ledger.pools.size()];
    perhaps = new boolean[ledger.pools.size()];
    carried = new double[ledger.movements.size()];
    carriedPerhaps = new boolean[ledger.movements.size()];
  }

  Trace ofMovement(int start) {
    for (int e = 0; e < ledger.events.length; e++) {
      int i = ledger.events[e] / 2;
      if (ledger.events[e] % 2 == 1) {
        arrive(i);
      } else if (i == start) {
        begin(i);
      } else {
        depart(i, e);
      }
    }
    return result();
  }

  private void begin(int i) {
    carriedPerhaps[i] = Double.isNaN(ledger.count[i]);
    carried[i] = carriedPerhaps[i] ? 0.0 : ledger.count[i];
    fish += carried[i];
  }

  Trace ofWater(boolean[] followed, Instant since) {
    int e = 0;
    double[] held = new double[traced.length];
    for (; e < ledger.events.length && ledger.time(e).isBefore(since); e++) {
      hold(held, e);
    }
    for (int pool = 0; pool < traced.length; pool++) {
      if (followed[pool]) {
        traced[pool] = held[pool];
        fish += held[pool];
      }
    }
    for (; e < ledger.events.length; e++) {
      int i = ledger.events[e] / 2;
      if (ledger.events[e] % 2 == 0) {
        if (Ledger.isOf(ledger.from[i], followed)) {
          leaveTheWater(i, e);
        } else {
          depart(i, e);
        }
      } else {
        if (Ledger.isOf(ledger.to[i], followed) && !Double.isNaN(ledger.count[i])) {
          fish += ledger.count[i] - carried[i]; // from now on all of them were there
          carried[i] = ledger.count[i];
        }
        arrive(i);
      }
    }
    return result();
  }

  /** Everything that leaves was there, whatever the books hold. */
  private void leaveTheWater(int i, int e) {
    int pool = ledger.from[i];
    if (Double.isNaN(ledger.count[i])) {
      carriedPerhaps[i] = true;
      return;
    }
    double excess = Math.max(0.0, ledger.count[i] - ledger.held[e]);
    fish += excess;
    carried[i] = ledger.count[i];
    traced[pool] = Math.max(0.0, traced[pool] - (ledger.count[i] - excess));
  }

  private void hold(double[] held, int e) {
    int i = ledger.events[e] / 2;
    boolean arrival = ledger.events[e] % 2 == 1;
    int pool = arrival ? ledger.to[i] : ledger.from[i];
    if (pool != NOWHERE && !Double.isNaN(ledger.count[i])) {
      double change = arrival ? ledger.count[i] * ledger.alive[i] : -ledger.count[i];
      held[pool] = Math.max(0.0, ledger.held[e] + change);
    }
  }

  private void depart(int i, int e) {
    int pool = ledger.from[i];
    if (pool == NOWHERE) {
      return;
    }
    carriedPerhaps[i] = perhaps[pool];
    if (Double.isNaN(ledger.count[i])) {
      carriedPerhaps[i] |= traced[pool] > NONE;
    } else if (ledger.held[e] > 0.0) {
      double part = Math.min(1.0, ledger.count[i] / ledger.held[e]);
      carried[i] = traced[pool] * part;
      traced[pool] -= carried[i];
    }
  }

  private void arrive(int i) {
    double arrived = carried[i] * ledger.alive[i];
    int pool = ledger.to[i];
    if (pool == NOWHERE) {
      died += carried[i];
    } else {
      died += carried[i] - arrived;
      traced[pool] += arrived;
      perhaps[pool] |= carriedPerhaps[i];
    }
  }

  private Trace result() {
    List<Trace.Step> steps = new ArrayList<>();
    for (int event : ledger.events) {
      int i = event / 2;
      if (event % 2 == 0 && (carried[i] > NONE || carriedPerhaps[i])) {
        steps.add(new Trace.Step(ledger.movements.get(i).id(), carried[i], carriedPerhaps[i]));
      }
    }
    return new Trace(Trace.Way.FORWARDS, fish, steps, ends(ledger, traced, perhaps), died, 0.0);
  }

  static List<Trace.End> ends(Ledger ledger, double[] fish, boolean[] perhaps) {
    List<Trace.End> ends = new ArrayList<>();
    for (int pool = 0; pool < fish.length; pool++) {
      if (fish[pool] > NONE || perhaps[pool]) {
        ends.add(
            new Trace.End(
                ledger.pools.get(pool).water(), ledger.species(pool), fish[pool], perhaps[pool]));
      }
    }
    return ends;
  }
}
