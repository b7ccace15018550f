// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.util.Arrays;
import java.util.EnumSet;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import opercle.simulator.probe.Fittings;

/**
 * What is changed of the instruments that a night was drawn with, to see what they are worth. The
 * tank, its load and its fault stay those of the seed. Immutable.
 *
 * @param without instruments that are taken away
 * @param samplingSeconds seconds between readings of oxygen and flow; empty: as drawn
 * @param noiseFactor the oxygen probe's noise times this
 * @param lagFactor the oxygen probe's response time times this
 */
public record Changes(
    Set<Instrument> without, OptionalDouble samplingSeconds, double noiseFactor, double lagFactor) {

  /** Everything as drawn. */
  public static final Changes NONE = new Changes(Set.of(), OptionalDouble.empty(), 1.0, 1.0);

  public Changes {
    without = Set.copyOf(without);
    if (samplingSeconds.isPresent()) {
      within("sampling", samplingSeconds.getAsDouble(), 0.5, 600.0, " s");
    }
    within("noise", noiseFactor, 0.1, 100.0, "");
    within("lag", lagFactor, 0.1, 100.0, "");
  }

  private static void within(String what, double value, double least, double most, String unit) {
    if (!(value >= least && value <= most)) {
      throw new IllegalArgumentException(
          "%s must be %s to %s%s but was %s".formatted(what, least, most, unit, value));
    }
  }

  /** What can be taken away. */
  public enum Instrument {
    /** The gas meter. */
    METER,
    /** The pressure tap on the gas line. */
    PRESSURE,
    /** A second oxygen probe. */
    SECOND_PROBE;

    /** The word on the command line, for instance {@code second-probe}. */
    public String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    /** The instrument of that id, or empty. */
    public static Optional<Instrument> of(String id) {
      return Arrays.stream(values()).filter(i -> i.id().equals(id)).findFirst();
    }
  }

  boolean isNone() {
    return equals(NONE);
  }

  Fittings applyTo(Fittings drawn) {
    return new Fittings(
        without.contains(Instrument.SECOND_PROBE)
            ? Math.min(1, drawn.oxygenProbes())
            : drawn.oxygenProbes(),
        drawn.flowMeter() && !without.contains(Instrument.METER),
        drawn.linePressure() && !without.contains(Instrument.PRESSURE),
        drawn.cylinderGauge(),
        samplingSeconds.orElse(drawn.oxygenSeconds()),
        drawn.oxygenT90Seconds() * lagFactor,
        drawn.oxygenNoiseMgPerL() * noiseFactor);
  }

  /** In words, for the head of a report. */
  String words() {
    if (isNone()) {
      return "as drawn";
    }
    StringBuilder words = new StringBuilder();
    for (Instrument i : without.isEmpty() ? Set.<Instrument>of() : EnumSet.copyOf(without)) {
      words.append(", without ").append(i.id());
    }
    samplingSeconds.ifPresent(s -> words.append(", read every ").append(s).append(" s"));
    if (noiseFactor != 1.0) {
      words.append(", noise × ").append(noiseFactor);
    }
    if (lagFactor != 1.0) {
      words.append(", lag × ").append(lagFactor);
    }
    return words.substring(2);
  }
}
