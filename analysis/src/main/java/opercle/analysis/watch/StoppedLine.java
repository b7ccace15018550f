// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.OptionalDouble;
import opercle.analysis.alarm.Finding;

/**
 * What there is to say of a gas line whose meter shows no gas: for how long, and whether that is
 * longer than it is used to. A value.
 *
 * @param gist the matter without figures
 * @param fact the sentence of fact
 */
record StoppedLine(String gist, String fact) {

  static StoppedLine of(TankNow tank) {
    long since = tank.now;
    PastStops past = PastStops.NONE;
    for (MeterProbe p : tank.probes().flows()) {
      if (p.meter.hasStopped() && p.meter.lowSince() <= since) {
        since = p.meter.lowSince();
        past = p.meter.past();
      }
    }
    double seconds = Micros.seconds(tank.now - since);
    String fact = "no gas flow for " + Wording.lasting(seconds);
    OptionalDouble pause = tank.tank.supply().pausesMinutes();
    if (pause.isPresent()) {
      String usual = "its usual pause of " + Wording.plain(pause.getAsDouble()) + " min";
      return new StoppedLine(
          "no gas flow",
          seconds > 60.0 * pause.getAsDouble()
              ? fact + ", longer than " + usual
              : fact + ", and too little time in hand to wait for the end of " + usual);
    }
    if (!past.makeThird(since)) {
      return new StoppedLine("no gas flow", fact);
    }
    return past.isOutlastedBy(seconds)
        ? new StoppedLine(Finding.STAYS_AWAY, fact + ", longer than each of the stops before it")
        : new StoppedLine(
            "gas comes and goes",
            fact + "; gas comes and goes, and if a timer does it, enter that in set-up");
  }
}
