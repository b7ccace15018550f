// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import static opercle.dashboard.trips.Said.number;
import static opercle.dashboard.trips.Said.text;

import java.util.OptionalDouble;
import java.util.stream.Collectors;
import opercle.analysis.farm.Tank;
import opercle.analysis.trip.MeterCheck;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripEntry.Unloaded;

/** What somebody wrote down of a trip, in words. */
final class EntryWords {

  private EntryWords() {}

  /** All that an entry says. */
  static String of(TripEntry old) {
    if (old instanceof StopCheck c) {
      return c.fish().words()
          + measured(c.oxygenMgPerL(), ", oxygen %.1f mg/L")
          + measured(c.temperatureC(), ", water %.1f °C")
          + measured(c.gasLPerMin(), ", gas set %.1f L/min")
          + (c.note().isEmpty() ? "" : ", " + c.note());
    }
    if (old instanceof Unloaded out) {
      return (out.losses().isEmpty() ? "losses not written down" : "losses " + losses(out))
          + measured(out.cylinderBar(), ", cylinder %.0f bar")
          + (out.note().isEmpty() ? "" : ", " + out.note());
    }
    if (old instanceof TripEntry.Loaded in) {
      Trip was = in.trip();
      return was.load().stream().map(EntryWords::load).collect(Collectors.joining("; "))
          + ", %s to %s".formatted(orDash(was.from()), orDash(was.to()))
          + measured(was.expectedMinutes(), ", %.0f min expected")
          + measured(was.cylinderBar(), ", cylinder %.0f bar");
    }
    return "the trip is withdrawn";
  }

  private static String measured(OptionalDouble value, String words) {
    return value.isPresent() ? text(words, value.getAsDouble()) : "";
  }

  /** How a probe read beside the hand meter, to go after its figure. */
  static String differs(MeterCheck check) {
    double by = check.probeReadsHighBy();
    return Math.abs(by) < 0.05
        ? ": they agree"
        : text(
            ", which read %s by %.1f %s",
            by > 0.0 ? "higher" : "lower", Math.abs(by), check.unit());
  }

  static String load(Tank.Load l) {
    return text(
        "%s kg of %s%s",
        number(l.kg()),
        l.species().commonName(),
        l.count().isPresent() ? ", " + l.count().getAsInt() + " fish" : "");
  }

  static String losses(Unloaded out) {
    return out.losses().stream()
        .map(
            l ->
                l.species().commonName()
                    + (l.count().orElse(-1) == 0 ? ", none" : "")
                    + (l.count().orElse(0) > 0 ? ", " + l.count().getAsInt() + " fish" : "")
                    + (l.kg().isPresent() ? ", " + number(l.kg().getAsDouble()) + " kg" : ""))
        .collect(Collectors.joining("; "));
  }

  private static String orDash(String words) {
    return words.isEmpty() ? "–" : words;
  }
}
