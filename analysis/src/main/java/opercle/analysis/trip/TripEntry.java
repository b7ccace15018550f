// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import opercle.analysis.ValidRange;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;

/**
 * Something that a person writes down of a trip. Nothing written is changed: a correction is an
 * entry of its own that names the one it corrects, and both stay.
 */
public sealed interface TripEntry {

  /** Given by whoever writes it, so that a form sent twice is one entry. */
  String id();

  /** When it was so. */
  Instant time();

  /** Who says so. */
  String by();

  /** The id of the entry that it takes the place of. */
  Optional<String> corrects();

  /**
   * The fish went in.
   *
   * @param trip what is known of the trip from then on
   */
  record Loaded(String id, Instant time, String by, Optional<String> corrects, Trip trip)
      implements TripEntry {}

  /**
   * Somebody looked in at a stop.
   *
   * @param fish how they are
   * @param oxygenMgPerL by a hand meter
   * @param temperatureC by a hand meter
   * @param gasLPerMin what the gas was left at, L/min
   * @param note in their own words; empty where none
   */
  record StopCheck(
      String id,
      Instant time,
      String by,
      Optional<String> corrects,
      Fish fish,
      OptionalDouble oxygenMgPerL,
      OptionalDouble temperatureC,
      OptionalDouble gasLPerMin,
      String note)
      implements TripEntry {

    /** What a hand meter may show, mg/L. */
    public static final ValidRange OXYGEN =
        new ValidRange("stop check", "oxygen", 0.0, 60.0, "mg/L");

    /** What a hand meter may show, °C. */
    public static final ValidRange TEMPERATURE =
        new ValidRange("stop check", "temperature", -2.0, 45.0, "°C");

    public StopCheck {
      oxygenMgPerL.ifPresent(OXYGEN::require);
      temperatureC.ifPresent(TEMPERATURE::require);
      gasLPerMin.ifPresent(TripTank.FLOW::require);
    }
  }

  /**
   * The fish went out, or the night is over.
   *
   * @param losses fish that did not live, by species
   * @param cylinderBar what the cylinder's gauge showed, bar
   * @param note in their own words; empty where none
   */
  record Unloaded(
      String id,
      Instant time,
      String by,
      Optional<String> corrects,
      List<Loss> losses,
      OptionalDouble cylinderBar,
      String note)
      implements TripEntry {

    public Unloaded {
      losses = List.copyOf(losses);
      cylinderBar.ifPresent(Trip.CYLINDER_BAR::require);
    }
  }

  /**
   * The trip should never have been begun. What was written of it stays readable and counts for
   * nothing.
   *
   * @param why in their own words
   */
  record Withdrawn(String id, Instant time, String by, String why) implements TripEntry {

    @Override
    public Optional<String> corrects() {
      return Optional.empty();
    }
  }

  /**
   * Fish of one species that did not live.
   *
   * @param species which
   * @param count how many, where they were counted
   * @param kg together, kg, where they were weighed
   */
  record Loss(Species species, OptionalInt count, OptionalDouble kg) {}
}
