// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static opercle.analysis.records.ForwardTrace.NONE;
import static opercle.analysis.records.Ledger.NOWHERE;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;

/** One trace backwards; used once, by one thread. */
final class BackwardTrace {

  private final Ledger ledger;
  private final double[] traced;
  private final boolean[] perhaps;
  private final double[] carried;
  private final boolean[] carriedPerhaps;
  private final double[] countedIn;
  private final boolean[] countedInPerhaps;

  /** The event at which fish of an unknown number first came into each pool. */
  private final int[] firstUncounted;

  private final List<Trace.Step> steps = new ArrayList<>();
  private double fish;
  private double notKnown;

  BackwardTrace(Ledger ledger) {
    this.ledger = ledger;
    traced = new double[ledger.pools.size()];
    perhaps = new boolean[ledger.pools.size()];
    carried = new double[ledger.movements.size()];
    carriedPerhaps = new boolean[ledger.movements.size()];
    countedIn = new double[ledger.pools.size()];
    countedInPerhaps = new boolean[ledger.pools.size()];
    firstUncounted = new int[ledger.pools.size()];
    Arrays.fill(firstUncounted, Integer.MAX_VALUE);
    for (int e = ledger.events.length - 1; e >= 0; e--) {
      int i = ledger.events[e] / 2;
      if (ledger.events[e] % 2 == 1 && ledger.to[i] != NOWHERE && Double.isNaN(ledger.count[i])) {
        firstUncounted[ledger.to[i]] = e;
      }
    }
  }

  Trace ofMovement(int start) {
    int e = ledger.events.length - 1;
    while (ledger.events[e] != 2 * start) {
      e--;
    }
    carriedPerhaps[start] = Double.isNaN(ledger.count[start]);
    carried[start] = carriedPerhaps[start] ? 0.0 : ledger.count[start];
    fish = carried[start];
    for (; e >= 0; e--) {
      goBack(e);
    }
    return result();
  }

  Trace ofWater(boolean[] followed, Instant at) {
    int e = ledger.events.length - 1;
    while (e >= 0 && ledger.time(e).isAfter(at)) {
      e--;
    }
    boolean[] set = new boolean[traced.length];
    for (int before = e; before >= 0; before--) { // the last event of each pool says what it holds
      int i = ledger.events[before] / 2;
      boolean arrival = ledger.events[before] % 2 == 1;
      int pool = arrival ? ledger.to[i] : ledger.from[i];
      if (!Ledger.isOf(pool, followed)) {
        continue;
      }
      if (Double.isNaN(ledger.count[i])) {
        perhaps[pool] |= arrival;
        continue;
      }
      if (!set[pool]) {
        set[pool] = true;
        double change = arrival ? ledger.count[i] * ledger.alive[i] : -ledger.count[i];
        traced[pool] = Math.max(0.0, ledger.held[before] + change);
        fish += traced[pool];
      }
    }
    for (; e >= 0; e--) {
      goBack(e);
    }
    return result();
  }

  private void goBack(int e) {
    int i = ledger.events[e] / 2;
    if (ledger.events[e] % 2 == 1) {
      unarrive(i, e);
    } else {
      undepart(i, e);
    }
  }

  private void unarrive(int i, int e) {
    int pool = ledger.to[i];
    if (pool == NOWHERE) {
      return;
    }
    carriedPerhaps[i] = perhaps[pool];
    if (Double.isNaN(ledger.count[i])) {
      carriedPerhaps[i] |= traced[pool] > NONE;
      return;
    }
    double came = ledger.count[i] * ledger.alive[i];
    double together = ledger.held[e] + came;
    if (together > 0.0) {
      carried[i] = traced[pool] * came / together;
      traced[pool] -= carried[i];
    }
  }

  private void undepart(int i, int e) {
    if (carried[i] <= NONE && !carriedPerhaps[i]) {
      return;
    }
    steps.add(new Trace.Step(ledger.movements.get(i).id(), carried[i], carriedPerhaps[i]));
    int pool = ledger.from[i];
    if (pool != NOWHERE) {
      double part =
          Double.isNaN(ledger.count[i]) ? 1.0 : Math.min(1.0, ledger.held[e] / ledger.count[i]);
      traced[pool] += carried[i] * part;
      notKnown += carried[i] * (1.0 - part);
      // Fish that were only weighed were among them, perhaps: those are never left out.
      perhaps[pool] |= carriedPerhaps[i] || firstUncounted[pool] < e;
    } else {
      countedIn[ledger.to[i]] += carried[i];
      countedInPerhaps[ledger.to[i]] |= carriedPerhaps[i];
    }
  }

  private Trace result() {
    Collections.reverse(steps);
    return new Trace(
        Trace.Way.BACKWARDS,
        fish,
        steps,
        ForwardTrace.ends(ledger, countedIn, countedInPerhaps),
        0.0,
        notKnown);
  }
}
