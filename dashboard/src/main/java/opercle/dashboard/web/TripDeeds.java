// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLog;
import opercle.analysis.watch.TankEvent;

/**
 * What was done at the tank of a trip, as it holds: the loading, the checks, the unloading. A night
 * that was only looked at has no loading and no unloading. Pure.
 */
final class TripDeeds {

  private TripDeeds() {}

  /**
   * The deeds of a trip.
   *
   * @param known ids of checks that are marked already: those of a file may have been written down
   *     at the tank itself
   */
  static List<TankDeed> of(TripLog log, Set<String> known) {
    List<TankDeed> deeds = new ArrayList<>();
    boolean onTheRoad = log.trip().kind() == Trip.Kind.ROAD;
    if (onTheRoad) {
      deeds.add(deed(log.loaded(), "loaded", loaded(log.trip()), TankEvent.Kind.FISH_ADDED));
    }
    for (StopCheck check : log.checks()) {
      if (known.contains(check.id())) {
        continue;
      }
      deeds.add(deed(check, "stop-check", checked(check, onTheRoad), TankEvent.Kind.CHECKED));
    }
    if (onTheRoad) {
      log.unloaded()
          .map(out -> deed(out, "unloaded", unloaded(log.trip(), out), TankEvent.Kind.FISH_REMOVED))
          .ifPresent(deeds::add);
    }
    return deeds;
  }

  private static TankDeed deed(TripEntry entry, String kind, String words, TankEvent.Kind tellsOf) {
    return new TankDeed(
        entry.time(),
        kind,
        Optional.of(entry.by()),
        Optional.of(words),
        Optional.empty(),
        Optional.of(tellsOf));
  }

  private static String loaded(Trip trip) {
    return "Loaded "
        + Stocked.load(trip.load())
        + named(" at ", trip.from())
        + named(", for ", trip.to());
  }

  private static String checked(StopCheck check, boolean onTheRoad) {
    return (onTheRoad ? "Checked at a stop: " : "Checked: ")
        + check.fish().words()
        + measured(", oxygen %.1f mg/L", check.oxygenMgPerL())
        + measured(", water %.1f °C", check.temperatureC())
        + measured(", gas left at %.1f L/min", check.gasLPerMin());
  }

  private static String unloaded(Trip trip, Unloaded out) {
    return "Unloaded"
        + named(" at ", trip.to())
        + (out.losses().isEmpty()
            ? ""
            : ", did not live: "
                + out.losses().stream().map(TripDeeds::lost).collect(Collectors.joining("; ")))
        + measured(", cylinder %.0f bar", out.cylinderBar());
  }

  private static String lost(Loss loss) {
    String fish = loss.count().isPresent() ? loss.count().getAsInt() + " " : "";
    String kg = loss.kg().isPresent() ? " (" + Stocked.kg(loss.kg().getAsDouble()) + ")" : "";
    return fish + loss.species().commonName() + kg;
  }

  private static String named(String before, String place) {
    return place.isEmpty() ? "" : before + place;
  }

  private static String measured(String form, OptionalDouble value) {
    return value.isPresent() ? String.format(Locale.ROOT, form, value.getAsDouble()) : "";
  }
}
