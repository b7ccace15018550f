// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Instant;
import java.util.Optional;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * Where a tank's figures come from: which reading, or which estimate, and from when. A value. What
 * cannot be told is empty.
 *
 * @param oxygen the reading that speaks for the tank's oxygen, and so for its saturation; once none
 *     does, the last one that did, which the time in hand if gas stops is still drawn from
 * @param temperature the newest of the water's temperature
 * @param gasFlow the newest of gas flow; where several meters add up, of the one heard last
 * @param demandMeasured whether the demand was measured in this tank while its gas was known to be
 *     off; false where it is the books' for this load
 * @param fallingSince since when oxygen has been falling, which the time in hand is then drawn from
 */
public record Origins(
    Optional<Heard> oxygen,
    Optional<Heard> temperature,
    Optional<Heard> gasFlow,
    Optional<Boolean> demandMeasured,
    Optional<Instant> fallingSince) {

  /** Nothing can be told. */
  public static final Origins NOT_KNOWN =
      new Origins(
          Optional.empty(), Optional.empty(), Optional.empty(), Optional.empty(), Optional.empty());

  /**
   * One reading.
   *
   * @param probe the probe's name
   * @param at when it was taken
   */
  public record Heard(String probe, Instant at) {

    private static Optional<Heard> of(@Nullable Probe probe) {
      return probe == null || !probe.rhythm.hasSpoken()
          ? Optional.empty()
          : Optional.of(new Heard(probe.name, Micros.instant(probe.rhythm.last())));
    }
  }

  static Origins of(TankNow now) {
    @Nullable OxygenProbe speaking = now.speaking();
    @Nullable Fall fall = speaking == null ? null : speaking.fall;
    return new Origins(
        Heard.of(speaking != null ? speaking : now.probes().lastSpeaking()),
        Heard.of(now.probes().newest(Quantity.TEMPERATURE)),
        Heard.of(now.probes().newest(Quantity.GAS_FLOW)),
        now.tank.isStocked()
            ? Optional.of(!Double.isNaN(now.water().learnedDemand()))
            : Optional.empty(),
        fall == null ? Optional.empty() : Optional.of(Micros.instant(fall.since())));
  }
}
